import { answerOnThread } from '../threads.ts';
import { followAgain, type FollowAgainRequest } from './follow-again.ts';
import { trackClip, type TrackRequest } from './track-clip.ts';

await answerOnThread<TrackRequest | FollowAgainRequest>((request, job) =>
  'trace' in request ? followAgain(request, job) : trackClip(request, job),
);
