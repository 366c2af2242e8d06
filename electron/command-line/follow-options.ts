import { Failure } from '../../shared-lib/contract/errors.ts';
import { facingSchema, liftSchema, type Facing, type Lift } from '../../shared-lib/contract/lift.ts';
import { nothingSaid, sleeveEndSchema, type ClipOptions } from '../../shared-lib/contract/review.ts';

export type RawOptions = Readonly<Record<string, string | boolean | undefined>>;

export const clipOptionNames = [
  'seed',
  'disc-mm',
  'rim',
  'sleeve-end',
  'plumb',
  'slow-motion',
  'facing',
] as const;
export const clipFlagNames = ['whole'] as const;

/** Reads one clip's options; `prefix` is '' or 'reference-' or 'today-'. */
export function readClipOptions(raw: RawOptions, prefix = ''): ClipOptions {
  const text = (name: string): string | null => textOption(raw, prefix + name);
  const seed = text('seed');
  const plumb = text('plumb');
  const rim = text('rim');
  const sleeveEnd = text('sleeve-end');
  return {
    ...nothingSaid,
    seed: seed === null ? null : readSeed(seed, `--${prefix}seed`),
    discMm: numberIn(
      text('disc-mm'),
      `--${prefix}disc-mm`,
      100,
      600,
      'the diameter of the disc in millimetres',
    ),
    rim: rim === null ? null : readRim(rim, `--${prefix}rim`),
    sleeveEnd: sleeveEnd === null ? null : readSleeveEnd(sleeveEnd, `--${prefix}sleeve-end`),
    plumb: plumb === null ? null : readPlumb(plumb, `--${prefix}plumb`),
    slowMotion: numberIn(
      text('slow-motion'),
      `--${prefix}slow-motion`,
      0.1,
      40,
      'how many times slower than life the clip plays',
    ),
    facing: readFacing(text('facing'), `--${prefix}facing`),
    whole: raw[`${prefix}whole`] === true,
  };
}

export function textOption(raw: RawOptions, name: string): string | null {
  const value = raw[name];
  return typeof value === 'string' ? value : null;
}

export function readLift(raw: RawOptions): Lift {
  const given = textOption(raw, 'lift');
  const parsed = liftSchema.safeParse(given);
  if (parsed.success) return parsed.data;
  throw new Failure(
    'usage',
    given === null ? '--lift is missing.' : `--lift ${given} is no lift that Lockstep knows.`,
    'Say --lift squat, --lift bench or --lift deadlift.',
  );
}

export function readOut(raw: RawOptions): string {
  const out = textOption(raw, 'out');
  if (out) return out;
  throw new Failure('usage', '--out is missing.', 'Name the folder for the results with --out DIR.');
}

/** A number within bounds, null where the option was not given. */
export function numberIn(
  text: string | null,
  option: string,
  least: number,
  most: number,
  meaning: string,
): number | null {
  if (text === null) return null;
  const value = numberOf(text);
  if (value >= least && value <= most) return value;
  throw new Failure(
    'usage',
    `${option} ${text} makes no sense.`,
    `Give ${meaning}, a number from ${least} to ${most}.`,
  );
}

export function wholeNumber(text: string | null, option: string, meaning: string): number | null {
  if (text === null) return null;
  const value = numberOf(text);
  if (Number.isInteger(value) && value >= 1) return value;
  throw new Failure('usage', `${option} ${text} makes no sense.`, `Give ${meaning}, a whole number from 1.`);
}

const numberOf = (text: string): number =>
  /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text.trim()) ? Number(text) : NaN;

function readSeed(text: string, option: string): ClipOptions['seed'] {
  const [ptsS, xPx, yPx, ...rest] = text.split(',').map(numberOf) as [number, number, number, ...number[]];
  if (rest.length === 0 && ptsS >= 0 && xPx >= 0 && yPx >= 0) return { ptsS, xPx, yPx };
  throw new Failure(
    'usage',
    `${option} ${text} is no point in the clip.`,
    'Give T,X,Y: seconds of file time, and the pixels of the disc’s centre in the picture as displayed.',
  );
}

function readRim(text: string, option: string): ClipOptions['rim'] {
  const [ptsS, xPx, yPx, radiusPx, ...rest] = text.split(',').map(numberOf) as [
    number,
    number,
    number,
    number,
    ...number[],
  ];
  if (rest.length === 0 && ptsS >= 0 && xPx >= 0 && yPx >= 0 && radiusPx >= 5)
    return { ptsS, xPx, yPx, aPx: radiusPx, bPx: radiusPx, thetaRad: 0 };
  throw new Failure(
    'usage',
    `${option} ${text} is no rim in the clip.`,
    'Give T,X,Y,R: seconds of file time, and centre and radius of the near disc’s rim in pixels as displayed.',
  );
}

function readSleeveEnd(text: string, option: string): ClipOptions['sleeveEnd'] {
  const [ptsS, xPx, yPx, proudCm, cameraM, ...rest] = text.split(',').map(numberOf) as [
    number,
    number,
    number,
    number | undefined,
    number | undefined,
    ...number[],
  ];
  const { data } = sleeveEndSchema.safeParse({
    ...{ ptsS, xPx, yPx },
    proudM: proudCm === undefined ? null : proudCm / 100,
    cameraM: cameraM ?? null,
  });
  if (data && rest.length === 0 && ptsS >= 0 && xPx >= 0 && yPx >= 0) return data;
  throw new Failure(
    'usage',
    `${option} ${text} is no sleeve’s end in the clip.`,
    'Give T,X,Y: seconds of file time, and the pixels of its middle in the picture as displayed; then, where you measured them, how far it stands out from the disc in centimetres and how far away the camera stood in metres.',
  );
}

function readPlumb(text: string, option: string): ClipOptions['plumb'] {
  const [x1, y1, x2, y2, ...rest] = text.split(',').map(numberOf) as [
    number,
    number,
    number,
    number,
    ...number[],
  ];
  const far = Math.abs(y2 - y1) > 2 * Math.abs(x2 - x1) && Math.abs(y2 - y1) >= 20;
  if (rest.length === 0 && far) return [x1, y1, x2, y2];
  throw new Failure(
    'usage',
    `${option} ${text} is no plumb line.`,
    'Give X1,Y1,X2,Y2: two points, one well above the other, on something that stands upright.',
  );
}

function readFacing(text: string | null, option: string): Facing | null {
  if (text === null) return null;
  const parsed = facingSchema.safeParse(text);
  if (parsed.success) return parsed.data;
  throw new Failure('usage', `${option} ${text} is no direction.`, `Say ${option} left or ${option} right.`);
}
