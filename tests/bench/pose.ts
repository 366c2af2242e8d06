import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { median } from 'd3-array';
import { drawScene } from '../../demo-data/draw-scene.ts';
import { bodyMeasure } from '../../shared-lib/body/geometry.ts';
import { measureBody, type BodyMoment } from '../../shared-lib/body/measure-body.ts';
import { cropsOf, poseViewOf } from '../../shared-lib/body/pose-view.ts';
import { proposeJoints } from '../../shared-lib/body/propose-joints.ts';
import { jointNames, jointsOf, type BodyMeasureName, type Joint } from '../../shared-lib/contract/body.ts';
import { liftSchema, type Lift } from '../../shared-lib/contract/lift.ts';
import { bodiesOf, exactCamera } from '../unit/body/rendered-bodies.ts';
import { keptResults } from './kept-results.ts';
import { browserModel } from './pose/in-browser.ts';
import { stillPainter } from './pose/paint-still.ts';

/**
 * Prints how far proposed joints are from rendered lifters' own, and angles from them, by joint and angle off square: the
 * program's own worker in a browser, four moments a scene. Each scene's result is kept in --file; --resume goes on.
 */
const { values } = parseArgs({
  options: {
    scenes: { type: 'string', default: '2' },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-pose.jsonl') },
    resume: { type: 'boolean', default: false },
    minutes: { type: 'string', default: 'Infinity' },
    /** A folder for the pictures that were looked at. */
    pictures: { type: 'string' },
  },
});
const offSquareDeg = [0, 10, 20, 30];
/** Seeds below were looked at while the proposals were made. */
const firstSeed = 7100;
const deg = Math.PI / 180;

interface Found {
  lift: Lift;
  offDeg: number;
  joints: { joint: Joint; errorM: number | null; spreadM: number }[];
  angles: { name: BodyMeasureName; errorDeg: number }[];
}

// Lifts and angles take turns, so that a run that is stopped has some of each.
const cases = Array.from({ length: Number(values.scenes) }, (_, k) => firstSeed + k).flatMap((seed) =>
  offSquareDeg.flatMap((offDeg) => liftSchema.options.map((lift) => ({ lift, offDeg, seed }))),
);
/** Where the camera looks from the middle of the bar's way, so that the whole lifter is in the picture, metres. */
const aimUpM: Record<Lift, number> = { squat: -0.45, bench: 0, deadlift: 0.3 };
const kept = await keptResults<Found[]>(values.file, values.resume);
const untilMs = Date.now() + 60_000 * Number(values.minutes);
const model = await browserModel();
try {
  for (const [index, one] of cases.entries()) {
    if (kept.all.has(index) || Date.now() > untilMs) continue;
    await kept.add(index, await scene(one));
    process.stderr.write('.');
  }
} finally {
  await model.close();
}
process.stderr.write('\n');

async function scene({ lift, offDeg, seed }: (typeof cases)[number]): Promise<Found[]> {
  const spec = drawScene(seed, {
    lift,
    film: { widthPx: 960, heightPx: 540 },
    camera: { offSquareRad: (seed % 2 === 0 ? 1 : -1) * offDeg * deg, aimUpM: aimUpM[lift] },
  });
  const paint = stillPainter(spec);
  const camera = exactCamera(spec);
  const pxPerM = camera.pose.focalPx / ((camera.pose.distanceRadii * camera.discM) / 2);
  const bodies = bodiesOf(spec);
  const found: Found[] = [];
  for (const { event, tS, moment, truth } of bodies) {
    const view = poseViewOf(lift, spec.facing, moment.bar, bodies[0].moment.bar, pxPerM);
    const crops = cropsOf(view);
    const png = paint(tS);
    const proposals = proposeJoints(lift, view, crops, await model.look(png, crops));
    const marks: BodyMoment['marks'] = {};
    for (const { joint, xPx, yPx } of proposals) marks[joint] = [xPx, yPx];
    const measured = measureBody(
      { camera, moments: [{ ...moment, marks }], view: 'a', hand: 'a' },
      lift,
    ).filter(({ measure }) => measure.name.endsWith('_rad'));
    found.push({
      lift,
      offDeg,
      joints: jointsOf[lift].map((joint) => {
        const proposal = proposals.find((p) => p.joint === joint);
        const [xPx, yPx] = moment.marks[joint]!;
        return {
          joint,
          errorM: proposal ? Math.hypot(proposal.xPx - xPx, proposal.yPx - yPx) / pxPerM : null,
          spreadM: proposal ? proposal.spreadPx / pxPerM : 0,
        };
      }),
      angles: measured.map(({ measure: { name, value } }) => ({
        name,
        errorDeg: Math.abs(value - bodyMeasure(name, lift, truth)) / deg,
      })),
    });
    if (values.pictures)
      await keepPicture(`${lift}-${offDeg}-${seed}-${event}`, png, proposals, moment.marks);
  }
  return found;
}

async function keepPicture(
  name: string,
  png: Buffer,
  proposals: readonly { joint: Joint; xPx: number; yPx: number; spreadPx: number }[],
  truth: BodyMoment['marks'],
): Promise<void> {
  const { createCanvas, loadImage } = await import('@napi-rs/canvas');
  const { mkdir, writeFile } = await import('node:fs/promises');
  const picture = await loadImage(png);
  const canvas = createCanvas(picture.width, picture.height);
  const context = canvas.getContext('2d');
  context.drawImage(picture, 0, 0);
  context.lineWidth = 2;
  for (const { joint, xPx, yPx, spreadPx } of proposals) {
    const [x, y] = truth[joint]!;
    context.strokeStyle = '#ff00ff';
    context.beginPath();
    context.arc(xPx, yPx, Math.max(4, 2 * spreadPx), 0, 7);
    context.moveTo(xPx, yPx);
    context.lineTo(x, y);
    context.stroke();
    context.strokeStyle = '#00ffff';
    context.strokeRect(x - 3, y - 3, 6, 6);
  }
  await mkdir(values.pictures!, { recursive: true });
  await writeFile(path.join(values.pictures!, `${name}.png`), canvas.toBuffer('image/png'));
}

const all = [...kept.all.values()].flat();
const row = (...cells: string[]): void => void process.stdout.write(`| ${cells.join(' | ')} |\n`);
const columns = offSquareDeg.map((d) => `${d}°`);
row('joint: median off, cm (proposed; within the ring)', ...columns, 'all');
row(...['', ...columns, ''].map(() => '---'));
for (const joint of jointNames) {
  const cells = [...offSquareDeg, null].map((offDeg) => {
    const asked = all
      .filter((f) => offDeg === null || f.offDeg === offDeg)
      .flatMap((f) => f.joints.filter((j) => j.joint === joint));
    const given = asked.filter((j) => j.errorM !== null);
    if (given.length === 0) return '–';
    const within = given.filter((j) => j.errorM! <= 2 * j.spreadM).length;
    const share = (n: number, of: number): string => `${Math.round((100 * n) / of)} %`;
    const off = (100 * median(given, (j) => j.errorM!)!).toFixed(1);
    return `${off} (${share(given.length, asked.length)}; ${share(within, given.length)})`;
  });
  if (cells.some((cell) => cell !== '–')) row(joint, ...cells);
}
for (const name of ['trunk_rad', 'hip_rad', 'knee_rad', 'elbow_rad'] as const) {
  const cells = [...offSquareDeg, null].map((offDeg) => {
    const errors = all
      .filter((f) => offDeg === null || f.offDeg === offDeg)
      .flatMap((f) => f.angles.filter((a) => a.name === name).map((a) => a.errorDeg));
    return errors.length === 0 ? '–' : `${median(errors)!.toFixed(1)}° of ${errors.length}`;
  });
  row(name.replace('_rad', ' angle, median off'), ...cells);
}

for (const lift of liftSchema.options) {
  const joints = all.filter((f) => f.lift === lift).flatMap((f) => f.joints);
  const asked = joints.filter(({ joint }) => joint !== 'hip crease' && joint !== 'knee top');
  const given = asked.filter((j) => j.errorM !== null);
  const within = given.filter((j) => j.errorM! <= 2 * j.spreadM).length;
  const pictures = all.filter((f) => f.lift === lift).length;
  process.stdout.write(
    `${lift}: ${pictures} pictures, ${given.length} of ${asked.length} joints proposed, ${within} of them within the ring\n`,
  );
}
