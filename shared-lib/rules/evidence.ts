import type { BodyMeasure } from '../contract/body.ts';
import type { MeasureKind } from '../camera/clip-limits.ts';
import type { ClipCheck } from '../contract/clip.ts';
import type { MeasureName } from '../contract/measures.ts';
import type { Measure, Outcome } from '../contract/rep.ts';
import { stillnessCanBeTold, type Noise } from '../rep/thresholds.ts';

/** What is known of one rep when its rules are looked at. */
export interface RuleEvidence {
  measures: Partial<Record<MeasureName, Measure | null>>;
  outcome: Outcome;
  /** Further attempts out of the bottom before the last. */
  earlierAttempts: number;
  body: readonly BodyMeasure[];
  /** Kinds of measures that the clip cannot carry. */
  notCarried: readonly MeasureKind[];
  /** How far second points moved, as told by their own sentences, by what was followed. */
  points: readonly { joint: string; sentence: string }[];
}

/** What the clip check rules out; where the bar's rest is not told from noise, durations too. */
export const notCarriedBy = (check: ClipCheck | undefined, restNoise: Noise): MeasureKind[] =>
  (['drift', 'vertical', 'velocity', 'tempo'] as const).filter(
    (kind) =>
      check?.verdicts[kind] === 'cannot carry' || (kind === 'tempo' && !stillnessCanBeTold(restNoise)),
  );

const notTold = {
  vertical: 'The clip cannot carry heights of the bar: how far it came down or fell short is not told.',
  tempo: 'The clip cannot carry durations: whether and how long the bar was still is not told.',
};

const cm = (m: number): string => `${(100 * m).toFixed(1)} cm`;
const seconds = (s: number): string => `${s.toFixed(2)} s`;

/** A fall, sink or sag as a sentence: told as there only where its interval leaves nothing out. */
export function fallSentence(what: string, e: RuleEvidence, name: MeasureName): string[] {
  const m = e.measures[name];
  if (e.notCarried.includes('vertical')) return [notTold.vertical];
  if (!m) return [];
  if (m.lo95 > 0.001) return [`${what} by ${cm(m.value)} (${cm(m.lo95)} to ${cm(m.hi95)}).`];
  if (m.hi95 < 0.001) return [`${what}: not at all.`];
  return [`${what}: none that stands out from the noise, and none of more than ${cm(m.hi95)}.`];
}

export function pauseSentence({ measures: { pause_s: m }, notCarried }: RuleEvidence): string[] {
  if (notCarried.includes('tempo')) return [notTold.tempo];
  return m
    ? [`The bar stayed within the still speed at the chest for ${seconds(m.value)} ± ${seconds(m.u95)}.`]
    : ['The bar did not rest at the chest for as long as 0.2 s.'];
}

export function stopSentence(evidence: RuleEvidence): string[] {
  const { stops, longest_stop_s: longest } = evidence.measures;
  if (evidence.notCarried.includes('tempo')) return [notTold.tempo];
  if (!stops || stops.value < 0.5 || !longest) return ['The bar did not stop on its way up.'];
  const times = stops.value < 1.5 ? 'once' : `${Math.round(stops.value)} times`;
  return [`The bar stopped ${times} on its way up, at the longest for ${seconds(longest.value)}.`];
}

export function creaseSentence({ body }: RuleEvidence): string[] {
  const crease = body.find(({ name, event }) => name === 'crease_m' && event === 'bottom');
  if (!crease) return ['The hip crease and the top of the knee are not marked at the bottom.'];
  if (!crease.canJudge)
    return [`From this angle the view alone leaves ± ${cm(crease.viewU95)} open: depth cannot be judged.`];
  const where = crease.value < 0 ? 'below' : 'above';
  const sure =
    crease.lo95 > 0 || crease.hi95 < 0 ? '' : ' Which of the two was lower, these marks cannot tell.';
  return [
    `As marked, the hip crease is ${cm(Math.abs(crease.value))} ${where} the top of the knee at the bottom (± ${cm(crease.u95)}).${sure}`,
  ];
}

export const lockoutSentence = ({ outcome, body, notCarried }: RuleEvidence): string[] => {
  if (outcome.kind === 'not completed' && notCarried.includes('vertical')) return [notTold.vertical];
  if (outcome.kind === 'not completed')
    return [`The bar stopped ${cm(outcome.shortM)} short of the height it started from.`];
  const knee = body.find(({ name, event }) => name === 'knee_rad' && event === 'lockout');
  const elbow = body.find(({ name, event }) => name === 'elbow_rad' && event === 'lockout');
  return [knee, elbow].flatMap((m) =>
    m?.canJudge
      ? [
          `As marked, the ${m.name === 'knee_rad' ? 'knee' : 'elbow'} is open to ${degrees(m.value)} ± ${degrees(m.u95)} at lockout, seen from the side.`,
        ]
      : [],
  );
};

const degrees = (rad: number): string => `${Math.round((180 / Math.PI) * rad)}°`;

export const pointSentences = ({ points }: RuleEvidence, ...joints: string[]): string[] =>
  points.filter(({ joint }) => joints.includes(joint)).map(({ sentence }) => sentence);
