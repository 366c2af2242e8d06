import { freshName } from '../../../state/coaching.ts';
import { change } from '../../../state/store.ts';

/** Notes something seen at a moment of today's clip. */
export const noteSeen = (text: string, todayS: number): void =>
  change(`Note: ${text}`, (review) => {
    const { observations } = review.coaching;
    observations.push({ id: freshName(observations), text, moment: { side: 'today', tS: todayS } });
  });
