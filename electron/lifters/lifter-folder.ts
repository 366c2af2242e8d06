import { randomBytes } from 'node:crypto';
import { lifterSchema, type Lifter } from '../../shared-lib/contract/lifter.ts';
import { DocumentFolder } from '../reviews/document-folder.ts';

/** Lifters on disk: `lifters/<id>/lifter.json`. */
export class LifterFolder extends DocumentFolder<Lifter> {
  constructor(root: string) {
    super(root, {
      word: 'lifter',
      folder: 'lifters',
      file: 'lifter.json',
      schema: lifterSchema,
      steps: [],
    });
  }

  /** A new lifter, kept at once. */
  async start(name: string, now: Date): Promise<Lifter> {
    const lifter = newLifter(`lifter-${randomBytes(4).toString('hex')}`, name, now);
    await this.add(lifter);
    return lifter;
  }

  /** Does something to a lifter as kept now. */
  async change(id: string, recipe: (lifter: Lifter) => Lifter): Promise<Lifter> {
    for (;;) {
      const lifter = recipe(await this.open(id));
      const revision = await this.keep(lifter);
      if (revision !== null) return { ...lifter, revision };
    }
  }
}

export const newLifter = (id: string, name: string, now: Date): Lifter => ({
  schema: 1,
  id,
  revision: 0,
  madeAt: now.toISOString(),
  name,
  bodyKg: null,
  bestKg: { squat: null, bench: null, deadlift: null },
  federation: '',
  notes: '',
  usualReps: [],
});
