import { z } from 'zod';

export const liftSchema = z.enum(['squat', 'bench', 'deadlift']);
export type Lift = z.infer<typeof liftSchema>;

/** Which way the lifter faces in the picture; on the bench, where the feet are. */
export const facingSchema = z.enum(['left', 'right']);
export type Facing = z.infer<typeof facingSchema>;
