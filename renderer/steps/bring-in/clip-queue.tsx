import { Button, DropZone, FileTrigger, ProgressBar } from 'react-aria-components';
import { isDone, type QueuedClip } from '../../../shared-lib/contract/queue.ts';
import { leaveQueue, queueFiles, takeFromQueue, useQueue } from '../../state/queue.ts';
import { tell, useDesk } from '../../state/store.ts';
import './clip-queue.css';

const stageWords: Record<QueuedClip['stage'], string> = {
  waiting: 'Waits',
  reading: 'Is being read',
  following: 'Is being followed',
  ready: 'Ready',
  'needs you': 'Needs you',
};

/** Many clips at once: dropped in together, read and followed in the background, taken up when the coach wants them. */
export function ClipQueue() {
  const items = useQueue();
  const done = items.filter(isDone).length;
  return (
    <section className="queue" aria-label="Several clips at once">
      <h2>Several clips at once</h2>
      <DropZone
        className="drop queue-drop"
        getDropOperation={() => 'copy'}
        onDrop={(event) => {
          const files = event.items.flatMap((item) => (item.kind === 'file' ? [item.getFile()] : []));
          void Promise.all(files).then(queueFiles, tell);
        }}
      >
        <p>
          Drop a whole session’s clips here. They are read, followed and checked in the background while you
          work on the first.
        </p>
        <FileTrigger
          allowsMultiple
          acceptedFileTypes={['video/*', '.mkv', '.avi', '.mov', '.mp4', '.webm']}
          onSelect={(files) => void (files && queueFiles([...files]))}
        >
          <Button className="button">Choose clips</Button>
        </FileTrigger>
      </DropZone>
      {items.length > 0 && (
        <>
          <p className="small muted" role="status">
            {done} of {items.length} done
          </p>
          <ul className="queue-list">
            {items.map((item) => (
              <QueueRow key={item.clip.sha256} item={item} />
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

function QueueRow({ item }: { item: QueuedClip }) {
  const { clip, stage, share, said, advice } = item;
  const inReview = useDesk(({ review }) =>
    review?.now.today?.clip.sha256 === clip.sha256
      ? 'today’s rep'
      : review?.now.reference?.clip.sha256 === clip.sha256
        ? 'the reference'
        : null,
  );
  return (
    <li className={stage === 'needs you' ? 'queue-row needs' : 'queue-row'}>
      <div className="queue-words">
        <strong>{clip.name}</strong>
        <span className="queue-stage">
          {stageWords[stage]}
          {inReview && `, taken as ${inReview}`}
        </span>
        {said !== '' && (
          <span className="small">
            {said} {advice}
          </span>
        )}
        {!isDone(item) && stage !== 'waiting' && (
          <ProgressBar
            className="progress"
            value={100 * share}
            aria-label={`${stageWords[stage]}: ${clip.name}`}
          >
            {({ percentage }) => <div style={{ width: `${percentage ?? 0}%` }} />}
          </ProgressBar>
        )}
      </div>
      <div className="queue-do">
        <Button
          className="button"
          aria-label={`Take ${clip.name} as the reference`}
          onPress={() => takeFromQueue(item, 'reference')}
        >
          As reference
        </Button>
        <Button
          className="button"
          aria-label={`Take ${clip.name} as today’s rep`}
          onPress={() => takeFromQueue(item, 'today')}
        >
          As today’s
        </Button>
        <Button
          className="button"
          aria-label={`Put ${clip.name} away`}
          onPress={() => void leaveQueue(clip.sha256)}
        >
          Put away
        </Button>
      </div>
    </li>
  );
}
