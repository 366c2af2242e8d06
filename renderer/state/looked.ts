import { useEffect, useState } from 'react';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import { bridge, tell } from './store.ts';

export type Looked = OutputOf<'lookAtClip'>;

/**
 * What a clip is and when each of its frames is shown; null until it was read.
 *
 * @param isQuiet somebody else tells what is wrong with the clip
 */
export function useLooked(sha256: string, isQuiet = false): Looked | null {
  const [looked, setLooked] = useState<Looked | null>(null);
  useEffect(() => {
    let stay = true;
    bridge.call('lookAtClip', { sha256 }).then(
      (found) => stay && setLooked(found),
      (error: unknown) => !isQuiet && tell(error),
    );
    return () => void (stay = false);
  }, [sha256, isQuiet]);
  return looked;
}
