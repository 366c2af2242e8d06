import type { Crop } from '../../shared-lib/body/pose-view.ts';
import type { Landmarks } from '../../shared-lib/body/propose-joints.ts';
import type { PoseAnswer, PoseQuestion } from './messages.ts';

/**
 * Looks for a body in crops of a picture. It runs on a thread of its own under a policy of its own, which alone allows
 * WebAssembly; its files come from this machine's own server and nothing leaves it.
 */
interface Model {
  setOptions(options: Record<string, unknown>): void;
  onResults(listener: (results: { poseLandmarks?: { x: number; y: number }[] }) => void): void;
  send(inputs: { image: OffscreenCanvas }): Promise<void>;
}
interface Scope {
  Pose: new (config: { locateFile: (name: string) => string }) => Model;
  importScripts(address: string): void;
  postMessage(answer: PoseAnswer): void;
  onmessage: ((event: MessageEvent<PoseQuestion>) => void) | null;
}
const scope = globalThis as unknown as Scope;

/** What the model is shown, pixels: its own nets take 224 and 256. */
const inputPx = 512;
const blankPx = 64;

standInForPage();
const here = (name: string): string => new URL(name, self.location.href).href;
scope.importScripts(here('pose.js'));

let seen: Landmarks = null;
const model = new scope.Pose({ locateFile: here });
model.onResults(({ poseLandmarks }) => {
  seen = poseLandmarks?.map(({ x, y }) => [x, y] as const) ?? null;
});
model.setOptions({
  modelComplexity: 1,
  smoothLandmarks: false,
  enableSegmentation: false,
  minDetectionConfidence: 0.2,
  minTrackingConfidence: 0.1,
  // The same numbers on every machine, and a graphics card is not asked for.
  useCpuInference: true,
});

const canvas = new OffscreenCanvas(inputPx, inputPx);
const blank = new OffscreenCanvas(blankPx, blankPx);
blank.getContext('2d')!.fillRect(0, 0, blankPx, blankPx);

scope.onmessage = ({ data: { picture, crops } }) => {
  look(picture, crops).then(
    (all) => scope.postMessage({ kind: 'seen', all }),
    (error: unknown) => scope.postMessage({ kind: 'failed', why: String(error) }),
  );
};

async function look(picture: ImageBitmap, crops: readonly Crop[]): Promise<Landmarks[]> {
  const all: Landmarks[] = [];
  for (const crop of crops) {
    // It would go on from where it saw the body last: after an empty picture it looks anew.
    await model.send({ image: blank });
    draw(picture, crop);
    seen = null;
    await model.send({ image: canvas });
    // Once more where the body was seen: it cuts the body out better the second time.
    if (seen) await model.send({ image: canvas });
    all.push(seen);
  }
  picture.close();
  return all;
}

function draw(picture: ImageBitmap, { xPx, yPx, sidePx, turnRad, isMirrored }: Crop): void {
  const context = canvas.getContext('2d')!;
  context.resetTransform();
  context.clearRect(0, 0, inputPx, inputPx);
  context.translate(inputPx / 2, inputPx / 2);
  if (isMirrored) context.scale(-1, 1);
  context.rotate(turnRad);
  context.scale(inputPx / sidePx, inputPx / sidePx);
  context.translate(-xPx - 0.5, -yPx - 0.5);
  context.drawImage(picture, 0, 0);
}

/** The package was made for a page: what it asks of one is little, and a worker has it too. */
function standInForPage(): void {
  const script = () => {
    const heard: Record<string, () => void> = {};
    const element = {
      src: '',
      setAttribute: (name: string, value: string) => void (name === 'src' && (element.src = value)),
      addEventListener: (name: string, listener: () => void) => void (heard[name] = listener),
      run: () => {
        scope.importScripts(element.src);
        heard.load?.();
      },
    };
    return element;
  };
  Object.assign(globalThis, {
    window: globalThis,
    document: {
      createElement: (name: string) => (name === 'canvas' ? new OffscreenCanvas(1, 1) : script()),
      body: { appendChild: (element: ReturnType<typeof script>) => element.run() },
    },
    alert: (why: string) => scope.postMessage({ kind: 'failed', why }),
  });
}
