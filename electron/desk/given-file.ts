import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import path from 'node:path';
import { Readable } from 'node:stream';
import { zipFolder } from '../lifters/lifter-zip.ts';
import { handBackFolder } from './hand-back.ts';
import type { Desk } from './handlers.ts';
import { filesOf } from './pair.ts';

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.mp4': 'video/mp4',
  '.jpg': 'image/jpeg',
  '.json': 'application/json',
  '.csv': 'text/csv; charset=utf-8',
  '.zip': 'application/zip',
};

/** Where a file lies that the screens may show or save: a review's hand-back, or a packed lifter; null where there is none. */
export async function givenFile(desk: Desk, kind: string, id: string, name: string): Promise<string | null> {
  if (kind === 'zip') {
    return (await desk.lifters.has(id)) ? path.join(desk.lifters.root, zipFolder, `${id}.zip`) : null;
  }
  const isOurs = kind === 'hand-back' && Object.values(filesOf).flat().includes(name);
  if (!isOurs || !(await desk.reviews.has(id))) return null;
  return path.join(desk.reviews.folderOf(id), handBackFolder, name);
}

/** The file as a response, whole or the part that is asked for: a film is looked through by parts. */
export async function respondWithFile(file: string, range: string | null): Promise<Response | null> {
  const bytes = await stat(file).then(
    ({ size }) => size,
    () => null,
  );
  if (bytes === null) return null;
  const asked = /^bytes=(\d+)-(\d*)$/.exec(range ?? '');
  const from = asked ? Number(asked[1]) : 0;
  const to = asked?.[2] ? Math.min(Number(asked[2]), bytes - 1) : bytes - 1;
  const headers: Record<string, string> = {
    'content-type': types[path.extname(file)] ?? 'application/octet-stream',
    'accept-ranges': 'bytes',
    'x-content-type-options': 'nosniff',
  };
  if (file.endsWith('.zip')) headers['content-disposition'] = `attachment; filename="${path.basename(file)}"`;
  if (from > to) return new Response(null, { status: 416, headers: { 'content-range': `bytes */${bytes}` } });
  headers['content-length'] = String(to - from + 1);
  if (asked) headers['content-range'] = `bytes ${from}-${to}/${bytes}`;
  const body = Readable.toWeb(createReadStream(file, { start: from, end: to })) as ReadableStream;
  return new Response(body, { status: asked ? 206 : 200, headers });
}
