import { create } from 'zustand';
import { cropsOf } from '../../shared-lib/body/pose-view.ts';
import { proposeJoints } from '../../shared-lib/body/propose-joints.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import type { Joint } from '../../shared-lib/contract/body.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { PoseView, Proposal } from '../../shared-lib/contract/pose-proposal.ts';
import { sideNames, type Review } from '../../shared-lib/contract/review.ts';
import { PoseModel } from '../pose/pose-model.ts';
import { bridge } from './store.ts';

/** A picture in which a lifter is to be looked for. */
export interface Sight {
  sha256: string;
  frame: number;
  lift: Lift;
  view: PoseView;
}

/** Joints that the model proposes by picture; none is a mark before a person says yes, and none is kept. */
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

/** Looks through pictures in the background, the first one first; what was looked at before is not looked at again. */
export function lookThrough(sights: readonly Sight[]): void {
  const { found, work } = useAll.getState();
  wanted = sights.filter((sight) => !(sightKey(sight) in found));
  useAll.setState({ left: wanted.length });
  if (work !== 'stopped' && work !== 'failed') void goOn();
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

async function goOn(): Promise<void> {
  const [sight] = wanted;
  if (isLooking) return;
  if (!sight) {
    rest();
    useAll.setState({ work: 'idle', left: 0 });
    return;
  }
  isLooking = true;
  useAll.setState({ work: 'looking' });
  model ??= new PoseModel();
  const mine = model;
  try {
    const proposals = await lookAt(mine, sight);
    if (mine !== model) return;
    wanted = wanted.filter((one) => sightKey(one) !== sightKey(sight));
    useAll.setState(({ found }) => ({
      found: { ...found, [sightKey(sight)]: proposals },
      left: wanted.length,
    }));
    isLooking = false;
    void goOn();
  } catch {
    if (mine !== model) return;
    rest();
    useAll.setState({ work: 'failed' });
  }
}

async function lookAt(mine: PoseModel, { sha256, frame, lift, view }: Sight): Promise<Proposal[]> {
  const response = await fetch(bridge.transport.stillUrl(sha256, frame, null));
  if (!response.ok) return [];
  const crops = cropsOf(view);
  return proposeJoints(
    lift,
    view,
    crops,
    await mine.look(await createImageBitmap(await response.blob()), crops),
  );
}
