import { liftWords } from '../../shared-lib/page/words.ts';
import { openReview, startReview, useDesk } from '../state/store.ts';
import { showLifters } from '../state/lifters.ts';
import './reviews.css';

const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });

/** Where the program opens: recent reviews, and the way to a new one. */
export function Reviews() {
  const reviews = useDesk((desk) => desk.reviews);
  return (
    <div className="column">
      <div className="reviews-head">
        <h1>Reviews</h1>
        <button className="button" onClick={() => void showLifters()}>
          Lifters
        </button>
        <button className="button first" onClick={() => void startReview()}>
          New review
        </button>
      </div>
      {reviews?.length === 0 && (
        <p>
          Nothing here yet. Start a review and bring in two clips of the same lift: one to hold against, and
          today’s.
        </p>
      )}
      <ul className="reviews">
        {reviews?.map(({ id, title, lift, lifter, madeAt, clips, trouble }) => (
          <li key={id}>
            <button className="review-row" disabled={trouble !== null} onClick={() => void openReview(id)}>
              <strong>{title || 'Unnamed review'}</strong>
              <span>{[lifter.name, liftWords[lift]].filter(Boolean).join(' · ')}</span>
              <span className="muted small">
                {trouble ??
                  `${day.format(new Date(madeAt))} · ${clips === 2 ? 'two clips' : clips === 1 ? 'one clip' : 'no clips yet'}`}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
