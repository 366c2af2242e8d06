import { seededRandom } from '../motion/random.ts';
import { applySources } from '../pair/apply-sources.ts';
import { legsOf, passing, repPath, type Leg } from '../pair/line-up.ts';
import type { MeasuredClip } from '../pair/measured-clip.ts';
import { measuredAgain, modelRep } from '../pair/rep-model.ts';
import { drawSources } from '../pair/sources.ts';
import { defaultSeed } from '../pair/uncertainty.ts';

/** Where the bar passes each height on one way, as measured and as it may have been. */
export interface DrawnWay {
  heightM: number[];
  /** Metres forward of the rep's start. */
  xM: number[];
  /** For each height x in each draw, NaN where the draw does not pass it. */
  draws: Float64Array[];
}

export interface DrawnWays {
  down: DrawnWay | null;
  up: DrawnWay | null;
}

/** Heights are taken this far apart, metres. */
const heightStepM = 0.01;
/** Enough that the ends of an interval lie within about 8 % of its width. */
const pathDraws = 400;

/**
 * Both ways of one rep with draws of the error sources and of the trace itself.
 *
 * @param repIndex from 0
 */
export function drawnWays(
  clip: MeasuredClip,
  repIndex: number,
  { draws = pathDraws, seed = defaultSeed }: { draws?: number; seed?: number } = {},
): DrawnWays {
  const model = modelRep(clip, repIndex);
  const [, middle] = model.smoothed;
  const measured = legsOf(repPath(middle.motion, model.events, 'start')!);
  const ways = { down: emptyWay(measured.down, draws), up: emptyWay(measured.up, draws) };
  const random = seededRandom(seed);
  for (let k = 0; k < draws; k++) {
    const sources = drawSources(model.sources, random);
    const noisy = measuredAgain(model, middle, random);
    const path = repPath(applySources(noisy, sources, model.geometry, model.room), model.events, 'start')!;
    const legs = legsOf(path);
    for (const name of ['down', 'up'] as const) {
      const [way, leg] = [ways[name], legs[name]];
      way?.heightM.forEach((h, i) => (way.draws[i][k] = (leg && passing(leg, h)?.xM) ?? NaN));
    }
  }
  return ways;
}

function emptyWay(leg: Leg | null, draws: number): DrawnWay | null {
  if (!leg) return null;
  const [lo, hi] = [leg.heightM[0], leg.heightM.at(-1)!].sort((a, b) => a - b);
  const heightM: number[] = [];
  for (let k = Math.ceil(lo / heightStepM); k * heightStepM <= hi; k++) heightM.push(k * heightStepM);
  return {
    heightM,
    xM: heightM.map((h) => passing(leg, h)!.xM),
    draws: heightM.map(() => new Float64Array(draws).fill(NaN)),
  };
}
