import { z } from 'zod';

/** A value with its 95 % interval; u95 is half the interval's width. SI units. */
export const measureSchema = z.object({
  value: z.number(),
  lo95: z.number(),
  hi95: z.number(),
  u95: z.number(),
  unit: z.string(),
});
export type Measure = z.infer<typeof measureSchema>;

export const outcomeSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('completed') }),
  z.object({ kind: z.literal('not completed'), shortM: z.number() }),
]);
export type Outcome = z.infer<typeof outcomeSchema>;

/** Event times of one rep, real seconds since the clip's first frame; null where the event does not exist. */
export interface RepEvents {
  startS: number;
  /** Bench: first moment at rest near the bottom. */
  touchS: number | null;
  /** Null for a deadlift. */
  bottomS: number | null;
  pauseStartS: number | null;
  pauseEndS: number | null;
  driveStartS: number;
  /** Null when the rep was not completed. */
  lockoutS: number | null;
  /** Further minima near the lowest point before the last: earlier attempts out of the bottom. */
  earlierAttempts: number;
  /** Deadlift: lift-off came less than 0.3 s after floor contact, so start and first pull are not compared. */
  rebound: boolean;
  outcome: Outcome;
}

/** The stretch of the clip that belongs to one rep, with still stretches on both sides where there are any. */
export interface RepWindow {
  fromS: number;
  toS: number;
  /** Deadlift: height of the clip's highest hold above the floor; a pull that ends lower stopped short. */
  fullRangeM?: number;
}
