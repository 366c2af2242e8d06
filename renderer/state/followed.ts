import { useEffect } from 'react';
import { create } from 'zustand';
import type { OutputOf, TracedPoints } from '../../shared-lib/contract/desk.ts';
import type { MeasuredSide } from '../../shared-lib/contract/line-up.ts';
import {
  followedBy,
  sideNames,
  type Review,
  type ReviewSide,
  type SideName,
} from '../../shared-lib/contract/review.ts';
import { bridge, keepNow, run, tell, useDesk, type Trouble } from './store.ts';

export type Followed = OutputOf<'followSide'>;

const keyOf = ({ clip, options }: ReviewSide): string => JSON.stringify([clip.sha256, options]);
/** What has to be followed anew; anything else that is said is worked out in no time. */
const picturesOf = ({ clip, options }: ReviewSide): string =>
  JSON.stringify([clip.sha256, followedBy(options)]);
const measuresOf = (side: ReviewSide, lift: Review['lift']): string =>
  JSON.stringify([keyOf(side), side.events, lift]);

/** What was followed and measured, by clip and by what was said of it; and what is being followed now. */
const useKept = create<{
  kept: ReadonlyMap<string, Followed>;
  latest: ReadonlyMap<string, Followed>;
  measured: ReadonlyMap<string, MeasuredSide>;
  lastMeasured: ReadonlyMap<string, MeasuredSide>;
  /** What was tried and gave nothing. */
  tried: ReadonlySet<string>;
  growing: { name: SideName; points: TracedPoints } | null;
}>(() => ({
  kept: new Map(),
  latest: new Map(),
  measured: new Map(),
  lastMeasured: new Map(),
  tried: new Set(),
  growing: null,
}));

let under = '';

/**
 * Follows every clip of the review that is not followed yet with what is said of it now, one after the other.
 *
 * @param anew also what was tried before and gave nothing
 */
async function followAll(anew = false): Promise<void> {
  const review = useDesk.getState().review?.now;
  if (!review) return;
  const wanted = sideNames.filter((name) => {
    const side = review[name];
    const { kept, tried } = useKept.getState();
    return side !== null && !kept.has(keyOf(side)) && (anew || !tried.has(keyOf(side)));
  });
  const key = wanted.map((name) => keyOf(review[name]!)).join();
  if (wanted.length === 0 || under === key) return;
  under = key;
  await keepNow();
  let trouble: Trouble | null = null;
  for (const name of wanted) {
    const side = review[name]!;
    const found = await followOne(review.id, name, side);
    if (!found) {
      useKept.setState(({ tried }) => ({ tried: new Set(tried).add(keyOf(side)), growing: null }));
      const why = useDesk.getState().trouble;
      trouble ??= why;
      // What was stopped by a person is not gone on with; a clip in which nothing is found stops no other.
      if (why) continue;
      break;
    }
    useKept.setState(({ kept, latest }) => ({
      kept: new Map(kept).set(keyOf(side), found),
      latest: new Map(latest).set(picturesOf(side), found),
      growing: null,
    }));
  }
  if (trouble) useDesk.setState({ trouble });
  under = '';
}

async function followOne(id: string, name: SideName, side: ReviewSide): Promise<Followed | null> {
  // What changes a known trace takes no progress bar.
  if (useKept.getState().latest.has(picturesOf(side))) {
    return bridge.call('followSide', { id, side: name }).catch((error: unknown) => {
      tell(error);
      return null;
    });
  }
  const word = name === 'today' ? 'today’s clip' : 'the reference clip';
  return run(`Following the bar in ${word}`, (job) =>
    bridge.call(
      'followSide',
      { id, side: name },
      { ...job, onTraced: (points) => useKept.setState({ growing: { name, points } }) },
    ),
  );
}

/** One side followed with what is said of it now. */
export function useFollowed(name: SideName): {
  /** Null until the clip is followed; while something said of it is worked out, as it was before. */
  followed: Followed | null;
  /** What is shown is not yet what was said last. */
  isBehind: boolean;
  /** The bar's way so far, while this side is being followed. */
  growing: TracedPoints | null;
  /** Following was tried with what is said now, and gave nothing. */
  isTried: boolean;
  follow: () => void;
} {
  const side = useDesk((desk) => desk.review!.now[name]);
  const key = side ? keyOf(side) : '';
  useEffect(() => {
    // Typing a number is no reason to begin at once.
    const timer = setTimeout(() => void followAll(), 150);
    return () => clearTimeout(timer);
  }, [key]);
  const exact = useKept(({ kept }) => kept.get(key) ?? null);
  const latest = useKept((kept) => (side ? (kept.latest.get(picturesOf(side)) ?? null) : null));
  const isTried = useKept(({ tried }) => tried.has(key));
  const growing = useKept((kept) => (kept.growing?.name === name ? kept.growing.points : null));
  return {
    followed: exact ?? latest,
    isBehind: exact === null && latest !== null,
    growing,
    isTried,
    follow: () => void followAll(true),
  };
}

/** One side's reps and measures, once it is followed; while something is worked out again, as they were before. */
export function useMeasured(name: SideName, isFollowed: boolean): MeasuredSide | null {
  const review = useDesk((desk) => desk.review!.now);
  const side = review[name];
  const key = side ? measuresOf(side, review.lift) : '';
  const sha256 = side?.clip.sha256 ?? '';
  useEffect(() => {
    if (!isFollowed || key === '' || useKept.getState().measured.has(key)) return;
    const timer = setTimeout(() => {
      void (async () => {
        await keepNow();
        const found = await bridge.call('measureSide', { id: review.id, side: name });
        useKept.setState(({ measured, lastMeasured }) => ({
          measured: new Map(measured).set(key, found),
          lastMeasured: new Map(lastMeasured).set(sha256, found),
        }));
      })().catch(tell);
    }, 150);
    return () => clearTimeout(timer);
  }, [isFollowed, key, name, review.id, sha256]);
  const exact = useKept(({ measured }) => measured.get(key) ?? null);
  const last = useKept(({ lastMeasured }) => lastMeasured.get(sha256) ?? null);
  return exact ?? last;
}
