import type { Rim } from '../contract/trace.ts';
import type { FitJob, Place, PoseFit, PoseProblem } from './disc-pose.ts';

/** Where the near face's centre is in a view, by the view's place among the problem's. */
interface CentreIn {
  view: number;
  centre: Place;
}

/** A fit to be made on another thread that has the same problem. */
export interface FitErrand extends Omit<FitJob, 'views' | 'near'> {
  views: number[];
  near: CentreIn[] | null;
}

/** What came of it; its edges, of which few are asked for, are looked for again where they are. */
export interface FitAnswer extends Omit<PoseFit, 'views'> {
  views: (CentreIn & { across: Rim | null })[];
}

/** Has another thread make fits; null where it has not the problem. */
export type FitElsewhere = (errands: FitErrand[]) => Promise<FitAnswer[] | null>;

/**
 * Makes fits that do not wait for each other, half of them elsewhere where there is somebody: what comes out is the same. What
 * the problem holds for known is not told there.
 */
export async function fitAll(
  problem: PoseProblem,
  jobs: readonly FitJob[],
  elsewhere: FitElsewhere | null,
): Promise<PoseFit[]> {
  const fit = (job: FitJob): PoseFit => problem.fit(job);
  const half = elsewhere ? Math.ceil(jobs.length / 2) : jobs.length;
  const others = jobs.slice(half);
  // Asked before this thread is busy with its own.
  const asked =
    elsewhere && others.length > 0 ? elsewhere(others.map((job) => errandOf(problem, job))) : null;
  const own = jobs.slice(0, half).map(fit);
  const answers = await asked;
  return [...own, ...(answers?.map((answer) => fitOf(problem, answer)) ?? others.map(fit))];
}

/** The other end: makes the fits that were asked for. */
export const answersTo = (problem: PoseProblem, errands: readonly FitErrand[]): FitAnswer[] =>
  errands.map(({ views, near, ...rest }) => {
    const fit = problem.fit({
      ...rest,
      views: views.map((view) => problem.views[view]),
      near: near && { views: near.map(({ view, centre }) => problem.placed(problem.views[view], centre)) },
    });
    return {
      ...fit,
      views: fit.views.map(({ view, centre, across }) => ({ view: numberOf(problem, view), centre, across })),
    };
  });

function errandOf(problem: PoseProblem, { views, near, ...rest }: FitJob): FitErrand {
  return {
    ...rest,
    views: views.map((view) => numberOf(problem, view)),
    near: near?.views.map(({ view, centre }) => ({ view: numberOf(problem, view), centre })) ?? null,
  };
}

const fitOf = (problem: PoseProblem, { views, ...rest }: FitAnswer): PoseFit => ({
  ...rest,
  views: views.map(({ view: number, centre, across }) => {
    const view = problem.views[number];
    return {
      ...problem.placed(view, centre),
      across,
      get edges() {
        return problem.edgesIn(view, across);
      },
    };
  }),
});

const numberOf = (problem: PoseProblem, view: PoseProblem['views'][number]): number =>
  problem.views.indexOf(view);
