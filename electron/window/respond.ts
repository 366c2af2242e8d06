import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { givenFile, respondWithFile } from '../desk/given-file.ts';
import { pictureOf } from '../desk/clip-reading.ts';
import type { Desk } from '../desk/handlers.ts';
import { policyOf } from '../desk/page-policy.ts';
import { origin } from './options.ts';

const ownHost = new URL(origin).host;

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.wasm': 'application/wasm',
  '.data': 'application/octet-stream',
  '.tflite': 'application/octet-stream',
  '.binarypb': 'application/octet-stream',
};

/** Answers the window's own scheme: files of the screens by name, pictures of clips by content and frame, what goes back. */
export async function respond(request: Request, desk: Desk, screens: string): Promise<Response> {
  const { pathname, searchParams, host } = new URL(request.url);
  if (request.method !== 'GET' || host !== ownHost) return nothing();
  const [kind, sha256, frame] = pathname.slice(1).split('/');
  if (kind === 'still') {
    const width = searchParams.get('width');
    const jpeg = await pictureOf(desk, sha256, Number(frame), width === null ? null : Number(width));
    return jpeg ? answer(jpeg, 'image/jpeg', pathname) : nothing();
  }
  if (kind === 'hand-back' || kind === 'zip') {
    const [, , id, ...name] = pathname.split('/');
    const file = await givenFile(desk, kind, id, name.join('/'));
    return (file && (await respondWithFile(file, request.headers.get('range')))) || nothing();
  }
  const name = pathname === '/' ? 'index.html' : decoded(pathname.slice(1));
  if (name === null) return nothing();
  const file = path.join(screens, name);
  const type = types[path.extname(file)];
  // A name that leads out of the folder, or to a kind of file that the screens do not have.
  if (!type || path.relative(screens, file).startsWith('..')) return nothing();
  return readFile(file).then(
    (bytes) => answer(bytes, type, pathname),
    () => nothing(),
  );
}

function decoded(name: string): string | null {
  try {
    return decodeURIComponent(name);
  } catch {
    return null;
  }
}

const answer = (bytes: Buffer, type: string, pathname: string): Response =>
  new Response(new Uint8Array(bytes), {
    headers: {
      'content-type': type,
      'content-security-policy': policyOf(pathname),
      'x-content-type-options': 'nosniff',
    },
  });

const nothing = (): Response => new Response('There is no such file.', { status: 404 });
