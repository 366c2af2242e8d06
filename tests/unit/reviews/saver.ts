import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';

/** Saves a review over and over, and tells each save once it is kept: a program to be killed. */
const [root, id, most] = process.argv.slice(2);
const reviews = new ReviewFolder(root);
let review = await reviews.open(id);
for (let n = 0; n < Number(most); n += 1) {
  const revision = await reviews.keep({ ...review, title: `save ${review.revision + 1}` });
  if (revision === null) throw new Error('Somebody else saved it.');
  review = { ...review, revision };
  process.stdout.write(`${revision}\n`);
}
