import type { ClipFile } from '../contract/clip.ts';
import { clipLimits, judge, type ClipFigures, type MeasureKind } from './clip-limits.ts';

const kinds: readonly MeasureKind[] = ['drift', 'vertical', 'velocity', 'tempo'];

/** Something that stands in the way of measuring a clip, and how to film it better, a sentence each. */
export interface ClipProblem {
  /** Which limit it is, from 0. */
  key: number;
  problem: string;
  better: string;
}

/** The limits that these figures go beyond, in the order in which problems are told. */
export const problemsOf = (figures: ClipFigures): ClipProblem[] =>
  clipLimits.flatMap((limit, key) =>
    kinds.some((kind) => judge(limit, kind, figures) !== 'good')
      ? [{ key, problem: limit.problem(figures), better: limit.better }]
      : [],
  );

/** What stands in the way of measuring a clip that was checked. */
export function clipProblems({ check, timing }: Pick<ClipFile, 'check' | 'timing'>): ClipProblem[] {
  const { duplicatedFrames, shakePx, blurPx, discDiameterPx } = check;
  return problemsOf({
    ...check,
    duplicatedShare: duplicatedFrames / Math.max(1, timing.decodedFrames),
    shakeShare: shakePx / discDiameterPx,
    blurShare: blurPx === null ? null : blurPx / discDiameterPx,
  });
}
