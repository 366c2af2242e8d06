import { Readable } from 'node:stream';
import { Failure } from '../../shared-lib/contract/errors.ts';

/** A body as it streams in, which fails once it is longer than it may be, whatever its header promised. */
export function limitedBody(body: Readable, mostBytes: number): Readable {
  // Nothing is read, and so nothing fails, before somebody reads.
  return Readable.from(limited(body, mostBytes), { objectMode: false });
}

async function* limited(body: Readable, mostBytes: number): AsyncGenerator<Buffer> {
  let bytes = 0;
  for await (const chunk of body as AsyncIterable<Buffer>) {
    bytes += chunk.length;
    if (bytes > mostBytes) throw tooLarge(mostBytes);
    yield chunk;
  }
}

function tooLarge(mostBytes: number): Failure {
  return new Failure(
    'unusableFile',
    `That file is larger than the ${Math.round(mostBytes / 1e9)} GB that Lockstep takes in.`,
    'Cut the clip to the set that you want to look at, and bring that in.',
  );
}
