import {
  settleByPose,
  type SettledCentre,
  type SettleOptions,
} from '../../shared-lib/camera/settle-by-pose.ts';
import { PoseProblem, type PoseQuestion } from '../../shared-lib/camera/disc-pose.ts';
import {
  answersTo,
  type FitAnswer,
  type FitElsewhere,
  type FitErrand,
} from '../../shared-lib/camera/fit-all.ts';
import type { CameraPose } from '../../shared-lib/contract/trace.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import type { DiscView } from '../../shared-lib/trace/disc-views.ts';
import { withinReach } from '../../shared-lib/picture/rim-edges.ts';
import { seedsIn, type Seed } from '../../shared-lib/trace/find-seeds.ts';
import { builtFile, isSource } from '../built-file.ts';
import { onKeptThread } from '../kept-threads.ts';
import { haveCoresToSpare, type ClipsAtOnce } from './among-clips.ts';

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

/** Fits to be made, and at first to what. */
export interface FitsErrand {
  question: PoseQuestion | null;
  fits: FitErrand[];
}

export type Errand = SearchErrand | SettleErrand | FitsErrand;

const worker = isSource ? null : builtFile('assistant-worker.js');

/**
 * A second thread for what is done picture by picture while no clip is decoded, so that both of two cores work. What is
 * asked of it comes out as it does here; where nothing is built it is never free.
 */
export class Assistant {
  #isFree = worker !== null;
  /** Where pictures go for the other thread to see: one errand after the other, so that none is thrown away. */
  #room = new Uint8Array(new SharedArrayBuffer(0));

  /** @param clips that are followed at once, where they are counted */
  constructor(
    private readonly signal: AbortSignal | undefined,
    private readonly clips?: ClipsAtOnce,
  ) {}

  /** Whether something may be asked: it hears no more than one thing at a time, and nothing while other clips keep the cores busy. */
  get isFree(): boolean {
    return this.#isFree && (!this.clips || haveCoresToSpare(this.clips));
  }

  search(errand: SearchErrand): Promise<Seed[]> {
    // Pictures lie in memory that is soon written over.
    const [image] = this.#shared([errand.image]);
    return this.#ask({ ...errand, image });
  }

  /** @param errand views that the other thread sees stay as they are until it has answered */
  settle({ pose, views }: SettleErrand): Promise<(SettledCentre | null)[]> {
    const others = views.map(({ view }) => view.image).filter(({ data }) => !isShared(data));
    const copies = new Map(this.#shared(others).map((image, i) => [others[i], image]));
    return this.#ask({
      pose,
      views: views.map(({ view, options }) => ({
        view: { ...view, image: copies.get(view.image) ?? view.image },
        options,
      })),
    });
  }

  /** Half of the fits of a pose, the same question until something else is asked; null where it is not free. */
  fitting(question: PoseQuestion): FitElsewhere | null {
    if (!this.isFree) return null;
    const images = this.#shared(question.views.map(({ image }) => image));
    const views = question.views.map((view, i) => ({ ...view, image: images[i] }));
    let untold: PoseQuestion | null = { ...question, views };
    return (fits) => {
      const asked = this.#ask<FitAnswer[] | null>({ question: untold, fits });
      untold = null;
      return asked;
    };
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

  #ask<Result>(errand: Errand): Promise<Result> {
    this.#isFree = false;
    const answer = onKeptThread<Result>(worker!, errand, { signal: this.signal }).finally(() => {
      this.#isFree = true;
    });
    // Whoever asked looks at it later, when it may have failed for long.
    answer.catch(() => undefined);
    return answer;
  }
}

const isShared = (data: Uint8Array): boolean => data.buffer instanceof SharedArrayBuffer;

/** What fits are made to, on the thread that makes them. */
let problem: PoseProblem | null = null;

/** What the thread does. */
export function assist(errand: Errand): Seed[] | (SettledCentre | null)[] | FitAnswer[] | null {
  if ('fits' in errand) {
    // A thread that was started again has heard no question.
    if (errand.question) problem = new PoseProblem(errand.question);
    return problem && answersTo(problem, errand.fits);
  }
  problem = null;
  return 'image' in errand
    ? seedsIn(withinReach([errand.image])[0], errand.ptsS)
    : errand.views.map(({ view, options }) => settleByPose(view, errand.pose, options));
}
