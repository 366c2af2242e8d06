import { create } from 'zustand';
import { cropsOf } from '../../shared-lib/body/pose-view.ts';
import { proposeJoints } from '../../shared-lib/body/propose-joints.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import type { Joint } from '../../shared-lib/contract/body.ts';
import type { Proposal, Sight } from '../../shared-lib/contract/pose-proposal.ts';
import { sideNames, type Review } from '../../shared-lib/contract/review.ts';
import { PoseModel } from '../pose/pose-model.ts';
import { bridge, useDesk } from './store.ts';

/** Joints that the model proposes by picture; none is a mark before a person says yes. */
interface Proposals {
  found: Readonly<Record<string, readonly Proposal[]>>;
  leftOut: Readonly<Record<string, readonly Joint[]>>;
  work: 'idle' | 'looking' | 'stopped' | 'failed';
  left: number;
}
const useAll = create<Proposals>(() => ({ found: {}, leftOut: {}, work: 'idle', left: 0 }));
const none: readonly never[] = [];

export const sightKey = ({ sha256, frame, view }: Sight): string => JSON.stringify([sha256, frame, view]);

/** What the model proposes for a picture and nobody has left out. */
export function useProposals(sight: Sight | null): readonly Proposal[] {
  const key = sight ? sightKey(sight) : '';
  const found = useAll((all) => all.found[key] ?? none);
  const leftOut = useAll((all) => all.leftOut[key] ?? none);
  return found.filter(({ joint }) => !leftOut.includes(joint));
}

export const useProposalWork = (): Pick<Proposals, 'work' | 'left'> => ({
  work: useAll((all) => all.work),
  left: useAll((all) => all.left),
});

/** Whether a picture was looked at already. */
export const useWasLookedAt = (sight: Sight | null): boolean =>
  useAll((all) => sight !== null && sightKey(sight) in all.found);

export function leaveOut(sight: Sight, joints: readonly Joint[]): void {
  const key = sightKey(sight);
  useAll.setState(({ leftOut }) => ({
    leftOut: { ...leftOut, [key]: [...(leftOut[key] ?? []), ...joints] },
  }));
}

/** The event frames of both reps; those that a person looks at first come first. */
export function sightsOf(bodies: Bodies, review: Review, first: string | null): Sight[] {
  const sights = sideNames.flatMap((side) =>
    bodies.moments[side].flatMap(({ frame, view }) => {
      const sha256 = review[side]?.clip.sha256;
      return sha256 && view ? [{ sha256, frame, lift: review.lift, view }] : [];
    }),
  );
  return [...sights].sort((a, b) => Number(sightKey(b) === first) - Number(sightKey(a) === first));
}

let model: PoseModel | null = null;
let wanted: Sight[] = [];
let isLooking = false;
/** How many screens wait for proposals; without any, only a machine that rests is used. */
let waiting = 0;

/**
 * Looks through pictures, the first one first, while the machine has nothing else to do; what was looked at before is not
 * looked at again.
 */
export function lookThrough(sights: readonly Sight[]): void {
  const { found, work } = useAll.getState();
  wanted = sights.filter((sight) => !(sightKey(sight) in found));
  useAll.setState({ left: wanted.length });
  if (work !== 'stopped' && work !== 'failed') void goOn();
}

/** Somebody waits for the proposals until what this returns is called: then they are looked for at once. */
export function awaitProposals(): () => void {
  waiting++;
  if (useAll.getState().work === 'idle') void goOn();
  return () => void waiting--;
}

/** Ends looking at once, or begins again. */
export function setLooking(on: boolean): void {
  useAll.setState({ work: on ? 'idle' : 'stopped' });
  if (on) void goOn();
  else rest();
}

function rest(): void {
  model?.end();
  model = null;
  isLooking = false;
}

/** How long nothing was asked before looking begins, milliseconds. */
const restedMs = 2000;
let whenRested: ReturnType<typeof setTimeout> | undefined;
useDesk.subscribe(({ job }, before) => {
  if (job === before.job || waiting > 0) return;
  clearTimeout(whenRested);
  if (job === null) whenRested = setTimeout(() => void goOn(), restedMs);
  else if (isLooking) {
    // What is asked for has the machine to itself.
    rest();
    useAll.setState({ work: 'idle' });
  }
});

const isBusy = (): boolean => waiting === 0 && useDesk.getState().job !== null;

async function goOn(): Promise<void> {
  const { work } = useAll.getState();
  if (isLooking || isBusy() || work === 'stopped' || work === 'failed') return;
  const [sight] = wanted;
  if (!sight) {
    rest();
    useAll.setState({ work: 'idle', left: 0 });
    return;
  }
  isLooking = true;
  useAll.setState({ work: 'looking' });
  const mine = (model ??= new PoseModel());
  try {
    const proposals = await lookAt(mine, sight);
    if (mine !== model) return;
    wanted = wanted.filter((one) => sightKey(one) !== sightKey(sight));
    useAll.setState(({ found }) => ({
      found: { ...found, [sightKey(sight)]: proposals },
      left: wanted.length,
    }));
    isLooking = false;
    if (waiting === 0) await idle();
    void goOn();
  } catch {
    if (mine !== model) return;
    rest();
    useAll.setState({ work: 'failed' });
  }
}

/** When the screens have nothing to draw. */
const idle = (): Promise<void> => new Promise((resolve) => requestIdleCallback(() => resolve()));

async function lookAt(mine: PoseModel, sight: Sight): Promise<Proposal[]> {
  const kept = await bridge.call('proposals', sight);
  if (kept) return kept;
  const { sha256, frame, lift, view } = sight;
  const response = await fetch(bridge.transport.stillUrl(sha256, frame, null));
  if (!response.ok) return [];
  const crops = cropsOf(view);
  const seen = await mine.look(await createImageBitmap(await response.blob()), crops);
  const proposals = proposeJoints(lift, view, crops, seen);
  await bridge.call('keepProposals', { sight, proposals });
  return proposals;
}
