import { Button } from 'react-aria-components';
import type { BodyEvent, Joint } from '../../../../shared-lib/contract/body.ts';
import type { Proposal, Sight } from '../../../../shared-lib/contract/pose-proposal.ts';
import type { SideName } from '../../../../shared-lib/contract/review.ts';
import { takeProposals } from '../../../state/bodies.ts';
import { leaveOut, setLooking, useProposalWork, useWasLookedAt } from '../../../state/proposals.ts';

/** What a model proposes for one picture: to be taken, moved in the picture, or left out; and how far its work is. */
export function ProposedJoints({
  sight,
  side,
  event,
  waiting,
  marked,
}: {
  sight: Sight;
  side: SideName;
  event: BodyEvent;
  /** Proposals that have no mark yet. */
  waiting: readonly Proposal[];
  marked: readonly Joint[];
}) {
  const wasLookedAt = useWasLookedAt(sight);
  const take = (all: readonly Proposal[]) => takeProposals(side, event, sight.frame, all);
  return (
    <section className="proposals" aria-label="Proposed joints">
      {waiting.length > 0 && (
        <>
          <p className="small">
            A model proposes these joints, drawn as diamonds. The ring and the ± come from how far it moves
            them when the picture is cut out differently; on drawn lifters they held the joint in 95 of 100
            pictures, on people that was not measured. None is used before you take it. To move one, choose
            its joint and drag the handle.
          </p>
          <p className="body-do">
            <Button className="button" onPress={() => take(waiting)}>
              Take all {waiting.length}
            </Button>
            <Button
              className="button"
              onPress={() =>
                leaveOut(
                  sight,
                  waiting.map(({ joint }) => joint),
                )
              }
            >
              Leave all out
            </Button>
          </p>
          <ul>
            {waiting.map((proposal) => (
              <li key={proposal.joint}>
                <span>
                  {proposal.joint} ± {((200 * proposal.spreadPx) / sight.view.pxPerM).toFixed(0)} cm
                </span>
                <Button
                  className="button"
                  aria-label={`Take the proposed ${proposal.joint}`}
                  onPress={() => take([proposal])}
                >
                  Take
                </Button>
                <Button
                  className="button"
                  aria-label={`Leave out the proposed ${proposal.joint}`}
                  onPress={() => leaveOut(sight, [proposal.joint])}
                >
                  Leave out
                </Button>
              </li>
            ))}
          </ul>
        </>
      )}
      {wasLookedAt && waiting.length === 0 && marked.length === 0 && (
        <p className="small muted">The model proposes nothing here that agrees with the bar: mark by hand.</p>
      )}
      <Work />
    </section>
  );
}

function Work() {
  const { work, left } = useProposalWork();
  if (work === 'idle') return null;
  return (
    <p className="body-do small muted" role="status">
      {work === 'looking' && (
        <>
          Looking for joints to propose: {left} {left === 1 ? 'picture' : 'pictures'} left.
          <Button className="button" onPress={() => setLooking(false)}>
            Stop
          </Button>
        </>
      )}
      {work === 'stopped' && (
        <>
          Looking for joints to propose was stopped.
          <Button className="button" onPress={() => setLooking(true)}>
            Go on
          </Button>
        </>
      )}
      {work === 'failed' && (
        <>
          The model that proposes joints cannot run in this window. Mark by hand.
          <Button className="button" onPress={() => setLooking(true)}>
            Try again
          </Button>
        </>
      )}
    </p>
  );
}
