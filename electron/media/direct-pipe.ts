import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { connect, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** A pipe whose bytes come straight into memory that its reader gives. */
export interface DirectPipe {
  /** For a child, as an output; to be destroyed here once the child has it. */
  writer: Socket;
  /** Paused at first. Tells of nothing but its end: its bytes go where `room` says. */
  reader: Socket;
}

/**
 * Opens a pipe for more bytes than a stream is good for: a stream makes a buffer for each piece that comes, and what is
 * thrown away of them costs as much as decoding does. It is a socket in a folder that nobody else may enter, gone as soon
 * as both ends are open.
 *
 * @param room where the next bytes go, never empty: asked again after each piece
 * @param onBytes how many have come there; may pause the reader
 * @returns null where the system has none of this kind
 */
export async function openDirectPipe(
  room: () => Uint8Array,
  onBytes: (count: number) => void,
): Promise<DirectPipe | null> {
  // Programs on Windows do not write to sockets as they do to pipes.
  if (process.platform === 'win32') return null;
  let folder: string | null = null;
  const server = createServer({ pauseOnConnect: true });
  try {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-pipe-'));
    const place = path.join(folder, 'p');
    server.listen(place);
    await once(server, 'listening');
    const reader = connect({
      path: place,
      onread: {
        buffer: room,
        callback: (count) => {
          onBytes(count);
          return true;
        },
      },
    });
    reader.pause();
    // Whatever breaks it ends it, and who reads sees that less came than should.
    reader.on('error', () => undefined);
    const [writer] = (await once(server, 'connection')) as [Socket];
    return { writer, reader };
  } catch {
    return null;
  } finally {
    server.close();
    if (folder) await rm(folder, { recursive: true, force: true });
  }
}
