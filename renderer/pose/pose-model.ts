import type { Crop } from '../../shared-lib/body/pose-view.ts';
import type { Landmarks } from '../../shared-lib/body/propose-joints.ts';
import type { PoseAnswer, PoseQuestion } from './messages.ts';

/** The pose model on its own thread; made when it is first asked for, and some hundred megabytes while it is there. */
export class PoseModel {
  private readonly worker = new Worker(new URL('./worker.ts', import.meta.url));

  /** What the model sees in each crop; the picture is handed over. One question at a time. */
  look(picture: ImageBitmap, crops: readonly Crop[]): Promise<Landmarks[]> {
    return new Promise((resolve, reject) => {
      this.worker.onmessage = ({ data }: MessageEvent<PoseAnswer>) =>
        data.kind === 'seen' ? resolve(data.all) : reject(new Error(data.why));
      this.worker.onerror = (event) => reject(new Error(event.message));
      this.worker.postMessage({ picture, crops } satisfies PoseQuestion, [picture]);
    });
  }

  /** Frees its thread and memory; a question under way is never answered. */
  end(): void {
    this.worker.terminate();
  }
}
