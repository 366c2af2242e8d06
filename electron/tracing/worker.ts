import { answerOnKeptThread } from '../kept-threads.ts';
import { followAgain, type FollowAgainRequest } from './follow-again.ts';
import { trackClip, type TrackRequest } from './track-clip.ts';
import { trackSleeveEnd, type SleeveEndRequest } from './track-sleeve-end.ts';

answerOnKeptThread<TrackRequest | SleeveEndRequest | FollowAgainRequest>((request, job) =>
  'trace' in request
    ? followAgain(request, job)
    : 'sleeveEnd' in request
      ? trackSleeveEnd(request, job)
      : trackClip(request, job),
);
