import { Results } from '../reviews/results.ts';
import { ClipShelf } from '../reviews/clip-shelf.ts';
import { ReviewFolder } from '../reviews/review-folder.ts';
import { findFfmpeg, findTools } from '../media/find-ffmpeg.ts';
import { StillShelf } from '../media/still-shelf.ts';
import { handlersOf, type Desk } from '../desk/handlers.ts';
import { Switchboard } from '../desk/switchboard.ts';

/** Everything behind the screens, for any shell, with its files under `root`. */
export function openDesk(root: string): { desk: Desk; board: Switchboard } {
  const desk: Desk = {
    reviews: new ReviewFolder(root),
    clips: new ClipShelf(root),
    results: new Results(root),
    stills: new StillShelf(() => findFfmpeg()),
    tools: () => findTools(),
    now: () => new Date(),
  };
  return { desk, board: new Switchboard(handlersOf(desk)) };
}
