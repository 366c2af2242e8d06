import { create } from 'zustand';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { HandedBack } from '../../shared-lib/contract/hand-back.ts';
import { timelineOf } from '../steps/line-up/timeline.ts';
import { bridge, run, tell, useDesk } from './store.ts';

export type Made = OutputOf<'handBack'>;

/** Whether files are being made, what was made last of each review since it was opened, how often, and where it was put besides. */
export const useHandedBack = create<{
  making: boolean;
  made: Record<string, { times: number; value: Made }>;
  putIn: Record<string, string>;
}>(() => ({ making: false, made: {}, putIn: {} }));

/** The reference's real time at the playhead; null where the two are not compared yet. */
export function stillAtS(): number | null {
  const { review, lineUp } = useDesk.getState();
  if (!review || !lineUp) return null;
  const { runBy, momentS } = review.now.place;
  return timelineOf(lineUp.value, runBy).referenceS(momentS);
}

/** Makes what is wanted; stopped, it leaves what was made before as it was. */
export async function handBack(wanted: readonly HandedBack[]): Promise<void> {
  const id = useDesk.getState().review?.now.id;
  if (id === undefined || useHandedBack.getState().making) return;
  useHandedBack.setState({ making: true });
  const value = await run('Making what goes back', (job) =>
    bridge.call('handBack', { id, wanted: [...wanted], stillAtS: stillAtS() }, job),
  );
  useHandedBack.setState({ making: false });
  if (!value) return;
  useHandedBack.setState(({ made }) => ({
    made: { ...made, [id]: { times: (made[id]?.times ?? 0) + 1, value } },
  }));
}

/** Copies what was made to a folder that the user chooses; only where there is a window of its own. */
export async function putSomewhere(id: string, made: Made): Promise<void> {
  try {
    const folder = await bridge.transport.placeFiles?.(
      id,
      made.files.map(({ name }) => name),
    );
    if (folder) useHandedBack.setState((state) => ({ putIn: { ...state.putIn, [id]: folder } }));
  } catch (error) {
    tell(error);
  }
}
