import { randomBytes } from 'node:crypto';
import { mkdir, readdir, readFile, rename, stat } from 'node:fs/promises';
import path from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { reviewSchema, type Review, type ReviewSummary } from '../../shared-lib/contract/review.ts';

const fileName = 'review.json';

/** Reviews on disk, each in a folder of its own under `root`: `reviews/<id>/review.json`. */
export class ReviewFolder {
  /** Saves of one review wait for one another. */
  private readonly saving = new Map<string, Promise<unknown>>();

  constructor(readonly root: string) {}

  /** Newest first. A review that cannot be read is listed with the reason, and left alone. */
  async list(): Promise<ReviewSummary[]> {
    const entries = await readdir(this.folder(), { withFileTypes: true }).catch(() => []);
    const summaries = await Promise.all(
      entries.filter((entry) => entry.isDirectory()).map((entry) => this.summaryOf(entry.name)),
    );
    return summaries
      .filter((summary): summary is ReviewSummary => summary !== null)
      .sort((a, b) => (a.madeAt < b.madeAt ? 1 : -1));
  }

  private async summaryOf(id: string): Promise<ReviewSummary | null> {
    try {
      const { title, madeAt, lift, lifter, reference, today } = await this.open(id);
      const clips = [reference, today].filter((side) => side !== null).length;
      return { id, title, madeAt, lift, lifter, clips, trouble: null };
    } catch (error) {
      const found = await stat(this.file(id)).catch(() => null);
      if (!found) return null;
      const trouble = error instanceof Failure ? error.what : 'It cannot be read.';
      const madeAt = found.mtime.toISOString();
      return { id, title: id, madeAt, lift: 'squat', lifter: { name: '', bodyKg: null }, clips: 0, trouble };
    }
  }

  /** A new review, kept at once. */
  async start(now: Date): Promise<Review> {
    const id = `${now.toISOString().slice(0, 10)}-${randomBytes(4).toString('hex')}`;
    const review: Review = {
      schema: 1,
      id,
      revision: 0,
      title: '',
      madeAt: now.toISOString(),
      lift: 'squat',
      lifter: { name: '', bodyKg: null },
      asked: '',
      sameCamera: false,
      reference: null,
      today: null,
      place: { step: 'Bring in', momentS: 0, runBy: 'phase' },
    };
    await this.write(review);
    return review;
  }

  /** Keeps a review that is new here, as it is. */
  add(review: Review): Promise<void> {
    return this.write(review);
  }

  async open(id: string): Promise<Review> {
    const text = await readFile(this.file(id), 'utf8').catch((cause: unknown) => {
      throw new Failure('usage', `There is no review ${id} in ${this.root}.`, 'Choose one from the list.', {
        cause,
      });
    });
    try {
      return reviewSchema.parse(JSON.parse(text));
    } catch (cause) {
      throw new Failure(
        'unusableFile',
        `The review ${id} cannot be read: its file was damaged or written by a newer Lockstep.`,
        `Bring back ${this.file(id)} from a backup, or go on without it.`,
        { cause },
      );
    }
  }

  /**
   * Keeps a review under the next revision.
   *
   * @returns the revision now kept; null where a newer one is kept already and nothing was written
   */
  keep(review: Review): Promise<number | null> {
    const before = this.saving.get(review.id) ?? Promise.resolve();
    const now = before
      .catch(() => undefined)
      .then(async () => {
        const kept = await this.open(review.id);
        if (kept.revision > review.revision) return null;
        await this.write({ ...review, revision: review.revision + 1 });
        return review.revision + 1;
      });
    this.saving.set(review.id, now);
    return now;
  }

  /** Puts a review aside under `removed/`; nothing is deleted. */
  async remove(id: string): Promise<void> {
    await this.open(id);
    const aside = path.join(this.root, 'removed');
    await mkdir(aside, { recursive: true });
    await rename(path.dirname(this.file(id)), path.join(aside, `${id}-${randomBytes(2).toString('hex')}`));
  }

  /** The folder of one review, for what it hands back. */
  folderOf(id: string): string {
    return path.dirname(this.file(id));
  }

  private folder(): string {
    return path.join(this.root, 'reviews');
  }

  private file(id: string): string {
    if (!/^[a-z0-9-]{1,64}$/.test(id)) {
      throw new Failure('usage', 'That is no name of a review.', 'Choose one from the list.');
    }
    return path.join(this.folder(), id, fileName);
  }

  private async write(review: Review): Promise<void> {
    const file = this.file(review.id);
    try {
      await mkdir(path.dirname(file), { recursive: true });
      await writeFileAtomic(file, `${JSON.stringify(review, null, 2)}\n`);
    } catch (cause) {
      throw new Failure(
        'unusableFile',
        `The review cannot be kept in ${path.dirname(file)}.`,
        'Free some space there, or give yourself permission to write; the review stays open meanwhile.',
        { cause },
      );
    }
  }
}
