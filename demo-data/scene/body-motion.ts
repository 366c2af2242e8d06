import type { BarMotion } from '../motion/bar-motion.ts';
import { smooth, type Side } from './pose.ts';
import type { BodySpec } from './spec.ts';

/** When the knees begin to unlock after the last lockout, and how long it takes, seconds. */
const unlockAfterS = 0.3;
const unlockS = 0.5;
/** How long heels take up before the bottom and down after the pause, seconds. */
const heelS = 0.4;

/** Share of the unlocking done, 0 to 1. */
function unlocked(motion: BarMotion, tS: number): number {
  const holds = motion.spans.filter((s) => s.stage.name === 'hold');
  const hold = holds[holds.length - 1];
  return hold ? smooth((tS - hold.fromS - unlockAfterS) / unlockS) : 0;
}

/** Share of the heels' lift, 0 to 1: up before each bottom and down after the drive began. */
function heelsUp(motion: BarMotion, tS: number): number {
  const shares = motion.spans
    .filter((s) => s.stage.name === 'descent')
    .map(({ stage, toS }) => {
      const drive = motion.spans.find((s) => s.stage.rep === stage.rep && s.stage.name === 'drive');
      const fromS = drive?.fromS ?? toS;
      return Math.min(smooth((tS - toS + heelS) / heelS), 1 - smooth((tS - fromS) / heelS));
    });
  return Math.max(0, ...shares);
}

/** A leg with what the body does beyond what the bar asks: a knee gives by so little that its bones keep their length to 1 mm. */
export function legInMotion(body: BodySpec | undefined, motion: BarMotion, tS: number, side: Side): Side {
  if (!body) return side;
  const kneeM = (body.kneeUnlockM ?? 0) * unlocked(motion, tS);
  const heelLiftM = (body.heelRiseM ?? 0) * heelsUp(motion, tS);
  return {
    ...side,
    knee: [side.knee[0] + kneeM, side.knee[1], side.knee[2]],
    // The ankle stands over the back third of the foot.
    ankle: [side.ankle[0], side.ankle[1] + 0.7 * heelLiftM, side.ankle[2]],
    heelLiftM,
  };
}
