import type { SideName } from '../../../shared-lib/contract/review.ts';
import { change, useDesk } from '../../state/store.ts';

/** Which rep of the clip is compared. */
export function RepChoice({ name, count }: { name: SideName; count: number }) {
  const rep = useDesk((desk) => desk.review!.now[name]?.rep ?? 1);
  return (
    <select
      aria-label={`Rep of ${name === 'today' ? 'today’s' : 'the reference'} clip`}
      value={rep}
      onChange={({ target }) =>
        change('Choose the rep', (review) => void (review[name]!.rep = Number(target.value)))
      }
    >
      {Array.from({ length: count }, (_, i) => (
        <option key={i} value={i + 1}>
          rep {i + 1} of {count}
        </option>
      ))}
    </select>
  );
}
