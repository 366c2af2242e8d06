import {
  settleByPose,
  type SettledCentre,
  type SettleOptions,
} from '../../shared-lib/camera/settle-by-pose.ts';
import type { CameraPose } from '../../shared-lib/contract/trace.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import type { DiscView } from '../../shared-lib/trace/disc-views.ts';
import { seedsIn, type Seed } from '../../shared-lib/trace/find-seeds.ts';
import { builtFile } from '../built-file.ts';
import { onKeptThread } from '../kept-threads.ts';

/** A picture to be searched for discs. */
export interface SearchErrand {
  image: GreyImage;
  ptsS: number;
}

/** Views in which the disc is to be settled. */
export interface SettleErrand {
  pose: CameraPose;
  views: readonly { view: DiscView; options: SettleOptions }[];
}

/** Only as built: what is being developed must not be mixed with what was built before. */
const worker = import.meta.url.endsWith('.ts') ? null : builtFile('assistant-worker.js');

/**
 * A second thread for what is done picture by picture while no clip is decoded, so that both of two cores work. What is
 * asked of it comes out as it does here; where nothing is built it is never free.
 */
export class Assistant {
  #isFree = worker !== null;
  /** Where pictures go for the other thread to see: one errand after the other, so that none is thrown away. */
  #room = new Uint8Array(new SharedArrayBuffer(0));

  constructor(private readonly signal: AbortSignal | undefined) {}

  /** Whether something may be asked: it hears no more than one thing at a time. */
  get isFree(): boolean {
    return this.#isFree;
  }

  search(errand: SearchErrand): Promise<Seed[]> {
    // Pictures lie in memory that is soon written over.
    const [image] = this.#shared([errand.image]);
    return this.#ask({ ...errand, image });
  }

  settle({ pose, views }: SettleErrand): Promise<(SettledCentre | null)[]> {
    const images = this.#shared(views.map(({ view }) => view.image));
    return this.#ask({
      pose,
      views: views.map(({ view, options }, i) => ({ view: { ...view, image: images[i] }, options })),
    });
  }

  /** Pictures in memory that the other thread sees, until the next errand's. */
  #shared(images: readonly GreyImage[]): GreyImage[] {
    const bytes = images.reduce((sum, { data }) => sum + data.length, 0);
    if (bytes > this.#room.length) this.#room = new Uint8Array(new SharedArrayBuffer(bytes));
    let at = 0;
    return images.map((image) => {
      const data = this.#room.subarray(at, (at += image.data.length));
      data.set(image.data);
      return { ...image, data };
    });
  }

  #ask<Result>(errand: SearchErrand | SettleErrand): Promise<Result> {
    this.#isFree = false;
    const answer = onKeptThread<Result>(worker!, errand, { signal: this.signal }).finally(() => {
      this.#isFree = true;
    });
    // Whoever asked looks at it later, when it may have failed for long.
    answer.catch(() => undefined);
    return answer;
  }
}

/** What the thread does. */
export const assist = (errand: SearchErrand | SettleErrand): Seed[] | (SettledCentre | null)[] =>
  'image' in errand
    ? seedsIn(errand.image, errand.ptsS)
    : errand.views.map(({ view, options }) => settleByPose(view, errand.pose, options));
