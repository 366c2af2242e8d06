import { DropZone, FileTrigger, Button } from 'react-aria-components';
import { newSide, type SideName } from '../../../shared-lib/contract/review.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import { firstHints } from './first-hints.ts';
import { useLooked } from '../../state/looked.ts';
import { bridge, change, run, tell, useDesk } from '../../state/store.ts';

const words = {
  reference: { name: 'Reference rep', what: 'the rep to hold today’s against' },
  today: { name: 'Today’s rep', what: 'the rep to judge' },
} as const;

async function takeIn(file: File, side: SideName): Promise<void> {
  const clip = await run(`Bringing in ${file.name}`, ({ signal, onProgress }) =>
    bridge.transport.sendClip(file, onProgress, signal),
  );
  if (!clip) return;
  // What was said of a clip once is not asked again.
  const { side: known } = await bridge
    .call('knownSide', { sha256: clip.sha256 })
    .catch(() => ({ side: null }));
  change(`Bring in ${words[side].name.toLowerCase()}`, (review) => {
    review[side] = known ?? newSide(clip);
    if (review.title === '') review.title = file.name.replace(/\.[^.]+$/, '');
  });
}

/** One clip: an empty place to drop it on, or what it is. */
export function ClipCard({ side }: { side: SideName }) {
  const entry = useDesk((desk) => desk.review!.now[side]);
  const { name, what } = words[side];
  const take = (file: File | undefined): void => void (file && takeIn(file, side));
  const choose = (
    <FileTrigger
      acceptedFileTypes={['video/*', '.mkv', '.avi', '.mov', '.mp4', '.webm']}
      onSelect={(files) => take(files?.[0])}
    >
      <Button className="button">{entry ? 'Choose another' : 'Choose a clip'}</Button>
    </FileTrigger>
  );
  return (
    <section className={`clip-card ${side}`} aria-label={name}>
      <h2 className={`${side}-word`}>
        <span aria-hidden className={`sign ${side}`} /> {name}
      </h2>
      <DropZone
        className="drop"
        getDropOperation={() => 'copy'}
        onDrop={(event) => {
          const item = event.items.find((each) => each.kind === 'file');
          if (item?.kind === 'file') void item.getFile().then(take, tell);
        }}
      >
        {entry ? (
          <ClipFacts key={entry.clip.sha256} sha256={entry.clip.sha256} name={entry.clip.name} />
        ) : (
          <p>Drop a clip here: {what}.</p>
        )}
        {choose}
      </DropZone>
      {entry && (
        <div className="clip-fields">
          <NumberInput
            label="Load on the bar, kg"
            value={entry.loadKg}
            from={1}
            to={1000}
            onChange={(kg) => change('The load', (review) => void (review[side]!.loadKg = kg))}
          />
          <NumberInput
            label="Disc’s diameter, mm, if measured"
            value={entry.options.discMm}
            from={100}
            to={700}
            onChange={(mm) =>
              change('The disc’s diameter', (review) => void (review[side]!.options.discMm = mm))
            }
          />
        </div>
      )}
    </section>
  );
}

function ClipFacts({ sha256, name }: { sha256: string; name: string }) {
  const looked = useLooked(sha256);
  if (!looked) return <p className="muted">Reading {name}…</p>;
  const { media, ptsS } = looked;
  const middle = Math.floor(ptsS.length / 2);
  const hints = firstHints(media, ptsS);
  return (
    <>
      <img
        className="clip-picture"
        src={bridge.transport.stillUrl(sha256, middle, 640)}
        alt={`The middle of ${name}`}
      />
      <p className="small">
        <strong>{name}</strong>
        <br />
        {media.widthPx} × {media.heightPx}, {Math.round(media.nominalFps * 10) / 10} frames a second,{' '}
        {media.durationS.toFixed(1)} s, {(media.bytes / 1e6).toFixed(1)} MB
      </p>
      {hints.length > 0 && (
        <ul className="hints small muted" aria-label="What reading it tells">
          {hints.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
      )}
    </>
  );
}
