import { randomBytes } from 'node:crypto';
import { nothingCoached } from '../../shared-lib/contract/coaching.ts';
import { reviewSchema, type Review, type ReviewSummary } from '../../shared-lib/contract/review.ts';
import { DocumentFolder } from './document-folder.ts';
import { reviewSteps } from './migrations.ts';

/** Reviews on disk, each in a folder of its own under `root`: `reviews/<id>/review.json`. */
export class ReviewFolder extends DocumentFolder<Review> {
  constructor(root: string) {
    super(root, {
      word: 'review',
      folder: 'reviews',
      file: 'review.json',
      schema: reviewSchema,
      steps: reviewSteps,
    });
  }

  /** Newest first. A review that cannot be read is listed with the reason, and left alone. */
  async list(): Promise<ReviewSummary[]> {
    return (await this.all())
      .map((entry) => ('document' in entry ? summaryOf(entry.document) : unreadable(entry)))
      .sort((a, b) => (a.madeAt < b.madeAt ? 1 : -1));
  }

  /** Every review that can be read, oldest first. */
  async readable(): Promise<Review[]> {
    return (await this.all())
      .flatMap((entry) => ('document' in entry ? [entry.document] : []))
      .sort((a, b) => (a.madeAt < b.madeAt ? -1 : 1));
  }

  /** A new review, kept at once: of the lift that was reviewed last, as clips of one lift come together. */
  async start(now: Date): Promise<Review> {
    const id = `${now.toISOString().slice(0, 10)}-${randomBytes(4).toString('hex')}`;
    const last = (await this.readable()).at(-1);
    const review = { ...newReview(id, now), ...(last && { lift: last.lift }) };
    await this.add(review);
    return review;
  }
}

export const newReview = (id: string, now: Date): Review => ({
  schema: 3,
  id,
  revision: 0,
  title: '',
  madeAt: now.toISOString(),
  lift: 'squat',
  lifterId: null,
  lifter: { name: '', bodyKg: null },
  asked: '',
  sameCamera: false,
  reference: null,
  today: null,
  coaching: nothingCoached,
  place: { step: 'Bring in', momentS: 0, runBy: 'phase' },
});

function summaryOf({ id, title, madeAt, lift, lifter, lifterId, reference, today }: Review): ReviewSummary {
  const clips = [reference, today].filter((side) => side !== null).length;
  return { id, title, madeAt, lift, lifter, lifterId, clips, trouble: null };
}

const unreadable = ({ id, trouble, at }: { id: string; trouble: string; at: Date }): ReviewSummary => ({
  id,
  title: id,
  madeAt: at.toISOString(),
  lift: 'squat',
  lifter: { name: '', bodyKg: null },
  lifterId: null,
  clips: 0,
  trouble,
});
