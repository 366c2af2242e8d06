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
import fastify, { type FastifyReply } from 'fastify';
import { z } from 'zod';
import { pictureOf } from '../desk/clip-reading.ts';
import { givenFile } from '../desk/given-file.ts';
import type { Desk } from '../desk/handlers.ts';
import { importLifter } from '../lifters/lifter-zip.ts';
import type { Switchboard } from '../desk/switchboard.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { guard } from './guards.ts';
import { whenIdle } from './idle.ts';
import { limitedBody } from './limited-body.ts';

export interface Loopback {
  /** The address to open, with its token. */
  address: string;
  close(): Promise<void>;
}

export interface LoopbackOptions {
  /** 0 takes a free one. */
  port: number;
  /** Folder of the screens. */
  screens: string;
  /** Largest file taken in through the browser, bytes. */
  largestFile?: number;
  /** Requests in ten seconds; stills while playing are some hundreds. */
  mostRequests?: number;
  /** Called when no page has been open and nothing under way for a while. */
  idle?: { afterMs: number; onIdle: () => void };
}

/** Pages that may be open at once, each with its line for events. */
const mostPages = 16;
const jobSchema = z.object({ job: z.string() });

/** What is said to a request that is not answered: never a path or a stack. */
const refusals: Record<number, string> = {
  404: 'There is nothing of that name.',
  413: 'That is more than Lockstep takes in at once.',
  415: 'That is no kind of message that Lockstep knows.',
  429: 'Too many requests: wait ten seconds.',
  500: 'Lockstep could not answer. What you entered is kept.',
};

/** A file that was not taken in: the rest of it may still be on the way, so the line is closed. */
function refuseFile(reply: FastifyReply, error: unknown): FastifyReply {
  void reply.header('connection', 'close');
  if (!(error instanceof Failure)) throw error;
  return reply.code(422).send({ kind: error.kind, what: error.what, advice: error.advice });
}

/** The app in a browser on this machine alone. */
export async function serve(desk: Desk, board: Switchboard, options: LoopbackOptions): Promise<Loopback> {
  const { largestFile = 20e9, mostRequests = 3000, idle } = options;
  const token = randomBytes(24).toString('base64url');
  const server = fastify({ bodyLimit: 1_000_000, forceCloseConnections: true });
  let port = options.port;
  await server.register(cookie);
  // As the first hook of all: refused requests count too.
  await server.register(rateLimit, { global: false });
  server.addHook('onRequest', server.rateLimit({ max: mostRequests, timeWindow: '10 s' }));
  guard(server, token, () => port);
  if (idle) whenIdle(server, { ...idle, isBusy: () => board.isBusy() || desk.queue.isBusy() });
  // A page of another site can send text without asking first, never JSON.
  server.removeContentTypeParser('text/plain');
  server.setErrorHandler(async (error: { statusCode?: number }, _request, reply) => {
    const status = error.statusCode ?? 500;
    if (status >= 500) {
      if (process.env.LOCKSTEP_DEBUG) console.error(error);
      desk.log.write({ event: 'fault', where: 'server', error: desk.log.shapeOf(error) });
    }
    await reply
      .code(status)
      .type('text/plain; charset=utf-8')
      .send(refusals[status] ?? refusals[500]);
  });
  server.setNotFoundHandler((_request, reply) =>
    reply.code(404).type('text/plain; charset=utf-8').send(refusals[404]),
  );

  server.post('/call', async (request) => board.answer(request.body));
  server.post('/stop', (request) => {
    const stop = jobSchema.safeParse(request.body);
    if (stop.success) board.stop(stop.data.job);
    return {};
  });
  let pages = 0;
  server.get('/events', async (request, reply) => {
    if (pages >= mostPages) return reply.code(429).send(refusals[429]);
    pages += 1;
    reply.hijack();
    const headers = reply.getHeaders() as Record<string, string>;
    reply.raw.writeHead(200, { ...headers, 'content-type': 'text/event-stream' });
    reply.raw.write(': open\n\n');
    const unlisten = board.listen((event) => reply.raw.write(`data: ${JSON.stringify(event)}\n\n`));
    request.raw.on('close', () => {
      pages -= 1;
      unlisten();
    });
  });

  // A clip is streamed to disk, never held.
  server.addContentTypeParser('application/octet-stream', (_request, payload, done) => done(null, payload));
  server.post('/clips', { bodyLimit: largestFile }, async (request, reply) => {
    const { name } = request.query as { name?: unknown };
    try {
      const body = limitedBody(request.body as Readable, largestFile);
      return await desk.clips.addStream(typeof name === 'string' ? name : 'clip', body);
    } catch (error) {
      return refuseFile(reply, error);
    }
  });

  server.post('/lifters', { bodyLimit: largestFile }, async (request, reply) => {
    const file = path.join(tmpdir(), `lockstep-${randomBytes(8).toString('hex')}.zip`);
    try {
      await pipeline(
        limitedBody(request.body as Readable, largestFile),
        createWriteStream(file, { flags: 'wx' }),
      );
      return await importLifter(desk, file, { signal: new AbortController().signal, onProgress: () => {} });
    } catch (error) {
      return refuseFile(reply, error);
    } finally {
      await rm(file, { force: true });
    }
  });

  server.get('/zip/:id', async (request, reply) => {
    const { id } = request.params as { id: string };
    const file = await givenFile(desk, 'zip', id, '');
    if (!file) return reply.code(404).send('There is no such file.');
    return reply
      .header('content-disposition', `attachment; filename="${id}.zip"`)
      .sendFile(path.basename(file), path.dirname(file));
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
    const file = await givenFile(desk, 'hand-back', id, name);
    if (!file) return reply.code(404).send('There is no such file.');
    return reply.sendFile(path.basename(file), path.dirname(file));
  });

  // Asked for by browsers of their own accord beside pages that name no icon, such as the one that goes back.
  server.get('/favicon.ico', (_request, reply) => reply.type('image/svg+xml').sendFile('icon.svg'));

  await server.register(files, { root: options.screens, index: ['index.html'], dotfiles: 'deny' });
  await server.listen({ host: '127.0.0.1', port: options.port });
  const bound = server.server.address();
  if (bound !== null && typeof bound === 'object') port = bound.port;
  return {
    address: `http://127.0.0.1:${port}/?token=${token}`,
    close: () => server.close(),
  };
}
