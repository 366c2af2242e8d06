import type { BodyChange, BodyEvent, BodyMeasure, BodyMeasureName } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';

export const eventWords: Record<BodyEvent, string> = {
  start: 'at the start',
  touch: 'at touch',
  bottom: 'at the bottom',
  knee: 'as the bar passes the knee',
  slowest: 'at the slowest point',
  lockout: 'at lockout',
};

export function measureWords(name: BodyMeasureName, lift: Lift): string {
  switch (name) {
    case 'place_m':
      return lift === 'bench' ? 'bar against the shoulder joint' : 'bar against mid-foot';
    case 'trunk_rad':
      return 'trunk against upright';
    case 'hip_rad':
      return 'hip angle';
    case 'knee_rad':
      return 'knee angle';
    case 'elbow_rad':
      return 'elbow angle';
    case 'crease_m':
      return 'hip crease against top of knee';
  }
}

const degrees = (rad: number): string => `${Math.round((180 / Math.PI) * rad)}°`;
const centimetres = (m: number): string => `${(100 * m).toFixed(1)} cm`;

/** A value with the direction it is told in, without its uncertainty. */
function inWords(name: BodyMeasureName, lift: Lift, value: number): string {
  const size = Math.abs(value);
  switch (name) {
    case 'place_m':
      return `${centimetres(size)} toward the ${value >= 0 ? forward(lift) : backward(lift)}`;
    case 'trunk_rad':
      return `${degrees(size)} ${value >= 0 ? 'forward' : 'backward'}`;
    case 'crease_m':
      return `${centimetres(size)} ${value >= 0 ? 'above' : 'below'}`;
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return degrees(value);
  }
}

const forward = (lift: Lift) => (lift === 'bench' ? 'feet' : 'toes');
const backward = (lift: Lift) => (lift === 'bench' ? 'head' : 'heels');

function changeInWords(name: BodyMeasureName, lift: Lift, value: number): string {
  const size = Math.abs(value);
  switch (name) {
    case 'place_m':
      return `${centimetres(size)} more toward the ${value >= 0 ? forward(lift) : backward(lift)}`;
    case 'trunk_rad':
      return `${degrees(size)} ${value >= 0 ? 'further forward' : 'more upright'}`;
    case 'crease_m':
      return `${centimetres(size)} ${value >= 0 ? 'higher' : 'lower'}`;
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return `${degrees(size)} ${value >= 0 ? 'more open' : 'more bent'}`;
  }
}

const plusMinus = (name: BodyMeasureName, u95: number): string =>
  `± ${name.endsWith('_rad') ? degrees(u95) : centimetres(u95)}`;

export const valueInWords = (m: BodyMeasure, lift: Lift): string =>
  `${inWords(m.name, lift, m.value)} ${plusMinus(m.name, m.u95)}`;

/** One plain sentence of a body change: what differs and how surely, or why nothing can be told. */
export function bodySentence(
  { event, name, reference, today, change }: Omit<BodyChange, 'sentence'>,
  lift: Lift,
): string {
  const what = `${capital(measureWords(name, lift))} ${eventWords[event]}`;
  const unclear = [reference, today].find((m) => m && !m.canJudge);
  if (unclear) {
    return `${what}: cannot be judged from this angle; the view alone leaves ${plusMinus(name, unclear.viewU95)} open.`;
  }
  if (!change) {
    const [side, m] = today ? (['today', today] as const) : (['the reference', reference!] as const);
    return `${what}: ${valueInWords(m, lift)} in ${side === 'today' ? 'today’s rep' : 'the reference'}; the other rep lacks its marks.`;
  }
  const surely = change.lo95 > 0 || change.hi95 < 0;
  const by = `${changeInWords(name, lift, change.value)} ${plusMinus(name, change.u95)}`;
  return surely
    ? `${what}: ${by} than in the reference.`
    : `${what}: no difference that the marks and the view can tell (${by}).`;
}

const capital = (words: string): string => words[0].toUpperCase() + words.slice(1);
