import path from 'node:path';
import { z } from 'zod';
import { nothingAsked, type Circumstances } from '../../shared-lib/contract/circumstances.ts';
import { nothingCoached, type Coaching } from '../../shared-lib/contract/coaching.ts';
import { newSide, nothingSaid, type ReviewSide } from '../../shared-lib/contract/review.ts';
import { measureNames } from '../../shared-lib/contract/measures.ts';
import { measureSchema } from '../../shared-lib/contract/rep.ts';
import { measuredFrom, measuresKind } from '../lifters/measured-rep.ts';
import { newLifter } from '../lifters/lifter-folder.ts';
import { newReview } from '../reviews/review-folder.ts';
import type { Desk } from './handlers.ts';

export const demoWeekSchema = z.object({
  file: z.string(),
  /** Days since the first review. */
  day: z.number().int(),
  load_kg: z.number(),
  start_s: z.number(),
  touch_s: z.number(),
});
type DemoWeek = z.infer<typeof demoWeekSchema>;

/** What the program measured of each week's clip, by its file, as `npm run demo:measure` wrote it. */
export const demoMeasuredSchema = z.record(
  z.string(),
  z.record(z.enum(measureNames), measureSchema.nullable()),
);
export type DemoMeasured = z.infer<typeof demoMeasuredSchema>;

export const demoLifterId = 'demo-lifter';
const dayMs = 86_400_000;

const circumstances: Circumstances = {
  ...nothingAsked,
  bottom: 'paused',
  intent: 'as fast as possible',
  inSession: 'first work set',
};

const titles = ['First look', 'Three weeks on', 'Six weeks on', 'Ten weeks on'];

/** What the coach said in the first review: two cues, of which one will take. */
const firstSaid = ({ start_s: startS, touch_s: touchS }: DemoWeek): Coaching => ({
  ...nothingCoached,
  observations: [{ id: 'n1', text: 'Elbows flare early', moment: { side: 'today', tS: touchS } }],
  cues: [
    {
      id: 'n1',
      text: 'Touch a hand’s breadth higher on the chest',
      aim: { kind: 'measure', measure: 'drift_bottom_m', wanted: 'less' },
      moment: { side: 'today', tS: touchS },
    },
    {
      id: 'n2',
      text: 'Come down in a second and a half',
      aim: { kind: 'measure', measure: 'descent_s', wanted: 'less' },
      moment: { side: 'today', tS: startS },
    },
  ],
});

/** The demo's lifter with a review for each week's clip, the last of them today. */
export async function offerDemoLifter(
  desk: Desk,
  folder: string,
  demo: { lifter: string; reference: ReviewSide; weeks: readonly DemoWeek[]; measured: DemoMeasured },
): Promise<void> {
  const lastDay = demo.weeks.at(-1)?.day ?? 0;
  const dateOf = (day: number): Date => new Date(desk.now().getTime() - (lastDay - day) * dayMs);
  await desk.lifters.add({
    ...newLifter(demoLifterId, demo.lifter, dateOf(0)),
    bodyKg: 82.5,
    bestKg: { squat: null, bench: 112.5, deadlift: null },
    notes: 'Invented for the demo. Touches low and comes down slowly when the bar gets heavy.',
  });
  let reference = demo.reference;
  for (const [i, week] of demo.weeks.entries()) {
    const today: ReviewSide = {
      ...newSide(await desk.clips.addFile(path.join(folder, week.file))),
      options: { ...nothingSaid, facing: 'right', discMm: 450 },
      loadKg: week.load_kg,
      discConfirmed: true,
      circumstances: { ...circumstances, day: dateOf(week.day).toISOString().slice(0, 10) },
    };
    // Measured beforehand, so that what became of the cues stands there at once.
    const known = demo.measured[week.file];
    if (known) await desk.results.keep(measuresKind, measuredFrom({ ...today, lift: 'bench' }), known);
    await desk.reviews.add({
      ...newReview(`demo-week-${week.day / 7}`, dateOf(week.day)),
      title: `Demo: ${(titles[i] ?? `Week ${week.day / 7}`).toLowerCase()}`,
      lift: 'bench',
      lifterId: demoLifterId,
      lifter: { name: demo.lifter, bodyKg: 82.5 },
      asked: i === 0 ? 'Why does the bar feel far away off the chest?' : 'Is it better than last time?',
      reference,
      today,
      coaching: i === 0 ? firstSaid(week) : nothingCoached,
      place: { step: 'Line up', momentS: 0, runBy: 'phase' },
    });
    reference = today;
  }
}
