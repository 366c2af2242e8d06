import type { SideName } from '../../../../shared-lib/contract/review.ts';
import { setSentences } from '../../../../shared-lib/cue/set-words.ts';
import { useMeasured } from '../../../state/followed.ts';
import { useDesk } from '../../../state/store.ts';

const titles = { reference: 'The reference clip’s set', today: 'Today’s set' } as const;

/** What happened over the reps of one clip, first against last. */
export function SetCourse({ side }: { side: SideName }) {
  const lift = useDesk(({ review }) => review!.now.lift);
  const measured = useMeasured(side, true);
  if (!measured) return <p className="small">The set is being measured.</p>;
  return (
    <section aria-label={titles[side]}>
      <h3>{titles[side]}</h3>
      <ul className="small">
        {setSentences(
          lift,
          measured.reps.map(({ values }) => values),
        ).map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </section>
  );
}
