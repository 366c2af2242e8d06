import { mkdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import writeFileAtomic from 'write-file-atomic';

const documents = `lifters/ID/lifter.json   a lifter: name, body weight, best lifts, federation, notes, and the reps marked as usual
reviews/ID/review.json   a review: whose it is, both clips by their content, what was asked, observations, cues,
                         the wished path, the words of the page`;

/** What stands in the folder that the user owns. */
export const folderReadMe = `This folder is yours: it holds everything Lockstep keeps. Copy it to back it up.

${documents}
reviews/ID/hand-back/    the film and the page that were made last
clips.json               where each clip was last seen, by the SHA-256 of its content
clips/                   clips that came through the browser
zips/                    lifters that were packed to be sent
results/                 what was worked out from clips; may be deleted, and is worked out again
log/                     what happened to the program; holds nothing of lifters and clips, and may be deleted
removed/                 reviews that were put aside; delete them yourself when you want them gone

A lifter who is removed goes for good, with every review, copy of a clip and result; clips of yours elsewhere stay.

Every JSON file carries its version as "schema". Lockstep reads each earlier version and leaves files of a later one alone.
Times are seconds, lengths metres, loads kilograms; days are YYYY-MM-DD.
`;

/** What stands in a lifter's zip. */
export const zipReadMe = `One lifter of Lockstep, with all reviews. Bring it in with "Bring in a lifter" on the page of lifters.

lifter.json              the lifter: name, body weight, best lifts, federation, notes, and the reps marked as usual
reviews/ID/review.json   each review
clips/SHA256/NAME        the clips, where they were packed too, by the SHA-256 of their content
`;

/** Puts README.txt into the folder, or renews it where it says something else. */
export async function writeReadMe(root: string): Promise<void> {
  const file = path.join(root, 'README.txt');
  if ((await readFile(file, 'utf8').catch(() => null)) === folderReadMe) return;
  await mkdir(root, { recursive: true });
  await writeFileAtomic(file, folderReadMe);
}
