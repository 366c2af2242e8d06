import { useEffect } from 'react';
import { create } from 'zustand';
import { withPlace } from '../../shared-lib/body/place-change.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import type { BodyEvent, BodyMark, Joint } from '../../shared-lib/contract/body.ts';
import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import type { Proposal } from '../../shared-lib/contract/pose-proposal.ts';
import type { PointMark } from '../../shared-lib/contract/second-point.ts';
import type { ReviewSide, SideName } from '../../shared-lib/contract/review.ts';
import { headlineSentences } from '../../shared-lib/pair/headline-sentences.ts';
import { lookThrough, sightsOf } from './proposals.ts';
import { bridge, change, run, useDesk } from './store.ts';

/** The bodies as last worked out, with what they were worked out from. */
const useKept = create<{ key: string; bodies: Bodies | null }>(() => ({ key: '', bodies: null }));

/** A mark that was just set is worked out when the hand rests, milliseconds. */
const restMs = 400;

async function workOut(key: string): Promise<void> {
  const review = useDesk.getState().review?.now;
  if (!review) return;
  const bodies = await run('Measuring the bodies', (job) => bridge.call('bodies', { id: review.id }, job));
  if (!bodies) return;
  useKept.setState({ key, bodies });
  // Where the bar starts over the body is a change like the others.
  useDesk.setState(({ lineUp }) =>
    lineUp ? { lineUp: { ...lineUp, value: placed(lineUp.value, bodies.place) } } : {},
  );
}

const placed = (value: LineUp, place: Bodies['place']): LineUp => {
  const pair = withPlace(value.pair, place);
  return { ...value, pair, headlines: headlineSentences(pair.changes, pair.lift) };
};

const useBodiesKey = (): string =>
  useDesk(({ review }) => {
    const { id, reference, today, lift, sameCamera } = review!.now;
    return JSON.stringify([id, reference, today, lift, sameCamera]);
  });

/** A pair that was just compared is left to whoever looks at it for so long, milliseconds. */
const comparedMs = 3000;

/** Looks for joints to propose as soon as a pair is compared and nothing else is asked for. */
export function useProposalsMeanwhile(): void {
  const key = useBodiesKey();
  const isFree = useDesk(({ job, lineUp, kept }) => job === null && lineUp !== null && kept === 'kept');
  useEffect(() => {
    if (!isFree) return undefined;
    const stop = new AbortController();
    const timer = setTimeout(() => void lookMeanwhile(key, stop.signal), comparedMs);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [key, isFree]);
}

async function lookMeanwhile(key: string, signal: AbortSignal): Promise<void> {
  const review = useDesk.getState().review?.now;
  if (!review) return;
  try {
    const kept = useKept.getState();
    const bodies =
      kept.key === key && kept.bodies
        ? kept.bodies
        : await bridge.call('bodies', { id: review.id }, { signal, onProgress: () => undefined });
    if (signal.aborted) return;
    useKept.setState({ key, bodies });
    lookThrough(sightsOf(bodies, review, null));
  } catch {
    // Nobody asked for it: whoever opens the bodies is told what is the matter.
  }
}

/** The bodies of the review that is open; the last ones while new ones are worked out. */
export function useBodies(): Bodies | null {
  const key = useBodiesKey();
  const kept = useKept();
  useEffect(() => {
    if (useKept.getState().key === key) return;
    const timer = setTimeout(() => void workOut(key), restMs);
    return () => clearTimeout(timer);
  }, [key]);
  return kept.bodies;
}

/** Sets a mark, in place of one of the same joint at the same event. */
export function setMark(
  side: SideName,
  event: BodyEvent,
  joint: Joint,
  frame: number,
  xPx: number,
  yPx: number,
): void {
  change(`Mark the ${joint}`, (review) =>
    put(review[side]!, { event, joint, frame, xPx, yPx, spreadPx: null }),
  );
}

/** Makes marks of proposals that a person said yes to; each keeps the doubt it came with until a hand moves it. */
export function takeProposals(
  side: SideName,
  event: BodyEvent,
  frame: number,
  proposals: readonly Proposal[],
): void {
  const label =
    proposals.length === 1 ? `Take the proposed ${proposals[0].joint}` : 'Take the proposed joints';
  change(label, (review) => {
    for (const proposal of proposals) put(review[side]!, { ...proposal, event, frame });
  });
}

function put(entry: ReviewSide, mark: BodyMark): void {
  entry.body = entry.body.filter((m) => m.event !== mark.event || m.joint !== mark.joint);
  entry.body.push(mark);
}

export function removeMark(side: SideName, event: BodyEvent, joint: Joint): void {
  change(`Take the ${joint}’s mark away`, (review) => {
    const entry = review[side]!;
    entry.body = entry.body.filter((m) => m.event !== event || m.joint !== joint);
  });
}

/** Follows a point through the rep, in place of one of the same joint, or stops to. */
export function followPoint(side: SideName, joint: Joint, mark: PointMark | null): void {
  change(mark ? `Follow the ${joint}` : `Stop following the ${joint}`, (review) => {
    const entry = review[side]!;
    entry.points = entry.points.filter((p) => p.joint !== joint);
    if (mark) entry.points.push(mark);
  });
}
