import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import { facingSchema, liftSchema } from '../../shared-lib/contract/lift.ts';
import { newSide, nothingSaid, reviewSchema, type Review } from '../../shared-lib/contract/review.ts';
import { newReview } from '../reviews/review-folder.ts';
import { demoMeasuredSchema, demoWeekSchema, offerDemoLifter } from './demo-lifter.ts';
import type { Desk } from './handlers.ts';

const demoSchema = z.object({
  schema: z.literal(1),
  lifter: z.string(),
  lift: liftSchema,
  clips: z
    .array(
      z.object({
        file: z.string(),
        role: z.enum(['reference', 'today']),
        load_kg: z.number(),
        facing: facingSchema,
        disc_mm: z.number(),
      }),
    )
    .length(2),
  weeks: z.array(demoWeekSchema),
});

export const demoId = 'demo-review';

/** Puts the demo's reviews and lifter into a folder that never held a review; what was removed stays removed. */
export async function offerDemo(desk: Desk, folder: string): Promise<void> {
  if (await desk.reviews.isBegun()) return;
  const demo = demoSchema.parse(JSON.parse(await readFile(path.join(folder, 'demo.json'), 'utf8')));
  const sides: Pick<Review, 'reference' | 'today'> = { reference: null, today: null };
  for (const { file, role, load_kg: loadKg, facing, disc_mm: discMm } of demo.clips) {
    const clip = await desk.clips.addFile(path.join(folder, file));
    sides[role] = { ...newSide(clip), options: { ...nothingSaid, facing, discMm }, loadKg };
  }
  const { lifter, weeks } = demo;
  const measured = demoMeasuredSchema.parse(
    JSON.parse(await readFile(path.join(folder, 'measured.json'), 'utf8')),
  );
  if (sides.reference)
    await offerDemoLifter(desk, folder, { lifter, reference: sides.reference, weeks, measured });
  await desk.reviews.add(
    reviewSchema.parse({
      ...newReview(demoId, desk.now()),
      title: 'Demo: practice rep and heavy single',
      lift: demo.lift,
      lifter: { name: demo.lifter, bodyKg: null },
      asked: 'Why did the heavy single feel slow off the chest?',
      ...sides,
      place: { step: 'Line up', momentS: 0, runBy: 'phase' },
    }),
  );
}
