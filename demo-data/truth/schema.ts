import { z } from 'zod';
import { facingSchema, liftSchema } from '../../shared-lib/contract/lift.ts';
import { measureNames } from '../../shared-lib/contract/measures.ts';
import { outcomeSchema } from '../../shared-lib/contract/rep.ts';

const time = z.number().nullable();

/** The near face's outline in the picture, as in the contract's Rim. */
const rimSchema = z.object({
  x_px: z.number(),
  y_px: z.number(),
  a_px: z.number(),
  b_px: z.number(),
  theta_rad: z.number(),
});

const frameSchema = z.object({
  frame: z.number().int(),
  /** File time of the frame; the exposure's middle. */
  pts_s: z.number(),
  /** Real time. */
  t_s: z.number(),
  /** Real time at which the picture was taken; earlier than `t_s` where an earlier picture is shown again. */
  taken_s: z.number(),
  /** Picture of the centre of the ruler's near face, displayed pixels: where it appears, lens and read-out included. */
  px: z.number(),
  py: z.number(),
  /** Bar plane at `t_s`, from the first rep's start. */
  x_m: z.number(),
  y_m: z.number(),
  rim: rimSchema,
  /** Share of the rim that cannot be seen: hidden by something, or outside the picture. */
  covered: z.number(),
  /** Turn of the disc on its sleeve. */
  turn_rad: z.number(),
  /** The camera's own turning since the spec's placement. */
  pan_rad: z.number(),
  tilt_rad: z.number(),
  roll_rad: z.number(),
  /** Focal length over the placed one. */
  zoom: z.number(),
});

export const truthRepSchema = z.object({
  rep: z.number().int().min(1),
  start_s: z.number(),
  touch_s: time,
  bottom_s: time,
  pause_start_s: time,
  pause_end_s: time,
  drive_start_s: z.number(),
  lockout_s: time,
  outcome: outcomeSchema,
  /** A measure that this rep does not have is null; one whose definition leaves a choice is absent. */
  measures: z.partialRecord(z.enum(measureNames), z.number().nullable()),
});
export type TruthRep = z.infer<typeof truthRepSchema>;

/** What really happens in a rendered clip: exact, from the spec alone. */
export const truthSchema = z.object({
  schema: z.literal(1),
  clip: z.string(),
  lift: liftSchema,
  facing: facingSchema,
  load_kg: z.number(),
  film: z.object({
    width_px: z.number(),
    height_px: z.number(),
    fps: z.number(),
    shutter: z.number(),
    read_out_s: z.number(),
    rotation_deg: z.number(),
    slow_motion: z.number(),
  }),
  camera: z.object({
    x_m: z.number(),
    y_m: z.number(),
    z_m: z.number(),
    pan_rad: z.number(),
    tilt_rad: z.number(),
    roll_rad: z.number(),
    focal_px: z.number(),
    /** Angle between the bar and the line from the disc at the first rep's start to the camera, seen from above; positive with the camera to the right. */
    off_square_rad: z.number(),
    shake_px: z.number(),
    lens_k1: z.number(),
    lens_k2: z.number(),
  }),
  disc: z.object({ diameter_m: z.number(), metres_per_px: z.number() }),
  /** The bar plane's origin: height above the floor, and x in the scene. */
  origin: z.object({ x_m: z.number(), y_m: z.number() }),
  frames: z.array(frameSchema),
  reps: z.array(truthRepSchema),
});
export type Truth = z.infer<typeof truthSchema>;
