import type { BodyChange, BodyEvent, BodyMeasure, BodyMeasureName } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Measure } from '../contract/rep.ts';
import { directionWords } from '../pair/sentences.ts';
import { unitOf } from './geometry.ts';

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

/** A size, with its uncertainty where there is one. */
function sized(name: BodyMeasureName, value: number, u95?: number): string {
  const shown = (v: number) =>
    unitOf(name) === 'rad' ? Math.round((180 / Math.PI) * v).toString() : (100 * v).toFixed(1);
  const unit = unitOf(name) === 'rad' ? '°' : ' cm';
  return u95 === undefined ? `${shown(value)}${unit}` : `${shown(value)} ± ${shown(u95)}${unit}`;
}

/** Where a horizontal size points, in words. */
const toward = (value: number, lift: Lift): string => {
  const { forward, backward } = directionWords(lift);
  return value >= 0 ? forward : backward;
};

/** A value with the direction it is told in. */
export function valueInWords({ name, value, u95 }: BodyMeasure, lift: Lift): string {
  const size = sized(name, Math.abs(value), u95);
  switch (name) {
    case 'place_m':
      return `${size} ${toward(value, lift)}`;
    case 'trunk_rad':
      return `${size} ${value >= 0 ? 'forward' : 'backward'}`;
    case 'crease_m':
      return `${size} ${value >= 0 ? 'above' : 'below'}`;
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return size;
  }
}

function changeInWords(name: BodyMeasureName, lift: Lift, { value, u95 }: Measure): string {
  const size = sized(name, Math.abs(value), u95);
  switch (name) {
    case 'place_m':
      return `${size} more ${toward(value, lift)}`;
    case 'trunk_rad':
      return `${size} ${value >= 0 ? 'further forward' : 'more upright'}`;
    case 'crease_m':
      return `${size} ${value >= 0 ? 'higher' : 'lower'}`;
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return `${size} ${value >= 0 ? 'more open' : 'more bent'}`;
  }
}

/** One plain sentence of a body change: what differs and how surely, or why nothing can be told. */
export function bodySentence(
  { event, name, reference, today, change }: Omit<BodyChange, 'sentence'>,
  lift: Lift,
): string {
  const what = `${capital(measureWords(name, lift))} ${eventWords[event]}`;
  const unclear = [reference, today].find((m) => m && !m.canJudge);
  if (unclear) {
    return `${what}: cannot be judged from this angle; the view alone leaves ± ${sized(name, unclear.viewU95)} open.`;
  }
  if (!change) {
    const [side, m] = today ? (['today', today] as const) : (['the reference', reference!] as const);
    return `${what}: ${valueInWords(m, lift)} in ${side === 'today' ? 'today’s rep' : 'the reference'}; the other rep lacks its marks.`;
  }
  const surely = change.lo95 > 0 || change.hi95 < 0;
  const by = changeInWords(name, lift, change);
  return surely
    ? `${what}: ${by} than in the reference.`
    : `${what}: no difference that the marks and the view can tell (${by}).`;
}

const capital = (words: string): string => words[0].toUpperCase() + words.slice(1);
