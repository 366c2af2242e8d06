import { randomBytes } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import cookie from '@fastify/cookie';
import rateLimit from '@fastify/rate-limit';
import files from '@fastify/static';
import fastify from 'fastify';
import { handBackFolder, pictureOf, type Desk } from '../desk/handlers.ts';
import { importLifter, zipFolder } from '../lifters/lifter-zip.ts';
import type { Switchboard } from '../desk/switchboard.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { pairFiles } from '../desk/pair.ts';
import { guard } from './guards.ts';

export interface Loopback {
  /** The address to open, with its token. */
  address: string;
  close(): Promise<void>;
}

/** Largest clip taken in through the browser, bytes. */
const largestClip = 20e9;

/** The app in a browser on this machine alone. */
export async function serve(
  desk: Desk,
  board: Switchboard,
  options: { port: number; screens: string },
): Promise<Loopback> {
  const token = randomBytes(24).toString('base64url');
  const server = fastify({ bodyLimit: 1_000_000, forceCloseConnections: true });
  let port = options.port;
  await server.register(cookie);
  await server.register(rateLimit, { max: 3000, timeWindow: '10 s' });
  guard(server, token, () => port);

  server.post('/call', async (request) => board.answer(request.body));
  server.post('/stop', (request) => {
    const { job } = request.body as { job?: unknown };
    if (typeof job === 'string') board.stop(job);
    return {};
  });
  server.get('/events', (request, reply) => {
    reply.hijack();
    reply.raw.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    reply.raw.write(': open\n\n');
    const unlisten = board.listen((event) => reply.raw.write(`data: ${JSON.stringify(event)}\n\n`));
    request.raw.on('close', unlisten);
  });

  // A clip is streamed to disk, never held.
  server.addContentTypeParser('application/octet-stream', (_request, payload, done) => done(null, payload));
  server.post('/clips', { bodyLimit: largestClip }, async (request, reply) => {
    const { name } = request.query as { name?: unknown };
    try {
      return await desk.clips.addStream(typeof name === 'string' ? name : 'clip', request.body as Readable);
    } catch (error) {
      if (!(error instanceof Failure)) throw error;
      return reply.code(422).send({ kind: error.kind, what: error.what, advice: error.advice });
    }
  });

  server.post('/lifters', { bodyLimit: largestClip }, async (request, reply) => {
    const file = path.join(tmpdir(), `lockstep-${randomBytes(8).toString('hex')}.zip`);
    try {
      await pipeline(request.body as Readable, createWriteStream(file, { flags: 'wx' }));
      return await importLifter(desk, file, { signal: new AbortController().signal, onProgress: () => {} });
    } catch (error) {
      if (!(error instanceof Failure)) throw error;
      return reply.code(422).send({ kind: error.kind, what: error.what, advice: error.advice });
    } finally {
      await rm(file, { force: true });
    }
  });

  server.get('/zip/:id', async (request, reply) => {
    const { id } = request.params as { id: string };
    if (!(await desk.lifters.has(id))) return reply.code(404).send('There is no such file.');
    return reply.download(`${id}.zip`, path.join(desk.lifters.root, zipFolder));
  });

  server.get('/still/:sha256/:frame', async (request, reply) => {
    const { sha256, frame } = request.params as { sha256: string; frame: string };
    const { width } = request.query as { width?: string };
    const widthPx = width === undefined ? null : Number(width);
    const jpeg = await pictureOf(desk, sha256, Number(frame), widthPx);
    if (!jpeg) return reply.code(404).send('There is no such picture.');
    return reply.type('image/jpeg').header('cache-control', 'private, max-age=86400, immutable').send(jpeg);
  });

  server.get('/hand-back/:id/*', async (request, reply) => {
    const { id, '*': name } = request.params as { id: string; '*': string };
    if (!pairFiles.includes(name)) return reply.code(404).send('There is no such file.');
    return reply.sendFile(name, path.join(desk.reviews.folderOf(id), handBackFolder));
  });

  await server.register(files, { root: options.screens, index: ['index.html'] });
  await server.listen({ host: '127.0.0.1', port: options.port });
  const bound = server.server.address();
  if (bound !== null && typeof bound === 'object') port = bound.port;
  return {
    address: `http://127.0.0.1:${port}/?token=${token}`,
    close: () => server.close(),
  };
}
