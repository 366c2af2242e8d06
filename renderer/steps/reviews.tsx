import { useEffect } from 'react';
import { offer } from '../state/actions.ts';
import { forgetDeed, takeBackDeed, useListDeed } from '../state/review-list.ts';
import { startReview, useDesk } from '../state/store.ts';
import { showLifters } from '../state/lifters.ts';
import { ReviewRow } from './review-row.tsx';
import './reviews.css';

/** Where the program opens: recent reviews, and the way to a new one. */
export function Reviews() {
  const reviews = useDesk((desk) => desk.reviews);
  const deed = useListDeed((list) => list.deed);
  useEffect(
    () =>
      offer([
        { label: 'New review', keys: ['n'], step: null, perform: () => void startReview() },
        { label: 'Lifters', keys: ['l'], step: null, perform: () => void showLifters() },
        {
          label: 'Take back what was done to the list',
          keys: ['Ctrl+z'],
          step: null,
          enabled: () => useListDeed.getState().deed !== null,
          perform: () => void takeBackDeed(),
        },
      ]),
    [],
  );
  useEffect(() => forgetDeed, []);
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
      {deed && (
        <p className="deed" role="status">
          {deed.says}
          <button className="button" onClick={() => void takeBackDeed()}>
            Take back
          </button>
        </p>
      )}
      {reviews?.length === 0 && (
        <p>
          Nothing here yet. Start a review and bring in two clips of the same lift: one to hold against, and
          today’s.
        </p>
      )}
      <ul className="reviews">
        {reviews?.map((review) => (
          <ReviewRow key={review.id} review={review} />
        ))}
      </ul>
    </div>
  );
}
