import { putSomewhere, useHandedBack, type Made } from '../../state/hand-back.ts';
import { bridge } from '../../state/store.ts';
import { partWords } from './part-words.ts';

/** Where the files lie that were made, and how to take them along. */
export function WhatWasMade({ id, made }: { id: string; made: Made }) {
  const putIn = useHandedBack((state) => state.putIn[id]);
  const { transport } = bridge;
  const canPlace = transport.placeFiles !== undefined;
  return (
    <section className="made" aria-label="What was made">
      <h3>Made</h3>
      <table>
        <tbody>
          {made.files.map(({ name, kind, bytes }) => (
            <tr key={name}>
              <th scope="row">
                {canPlace ? (
                  name
                ) : (
                  <a href={transport.handedBackUrl(id, name)} target="_blank" rel="noreferrer">
                    {name}
                  </a>
                )}
              </th>
              <td className="muted small">{partWords[kind].name}</td>
              <td className="muted small number">{size(bytes)}</td>
              {!canPlace && (
                <td>
                  <a className="button" href={transport.handedBackUrl(id, name)} download={fileOf(name)}>
                    Download<span className="unseen"> {name}</span>
                  </a>
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
      {canPlace && (
        <button className="button first" onClick={() => void putSomewhere(id, made)}>
          Put them in a folder…
        </button>
      )}
      {putIn && <p role="status">Put in {putIn}.</p>}
      <p className="small muted">
        They lie in <span className="made-in">{made.folder}</span>. Nothing has left this machine: send them
        as you like.
      </p>
    </section>
  );
}

const size = (bytes: number): string =>
  bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
/** Files of the two clips have the same names in folders of their own. */
const fileOf = (name: string): string => name.replaceAll('/', '-');
