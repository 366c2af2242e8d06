import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { serve, type Loopback } from '../../../electron/loopback/server.ts';

interface Got {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
}

let folder: string;
let loopback: Loopback;
let port: number;
let token: string;

beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-loopback-'));
  await writeFile(path.join(folder, 'index.html'), 'the screens');
  const { desk, board } = await openDesk(path.join(folder, 'reviews'));
  loopback = await serve(desk, board, { port: 0, screens: folder });
  const address = new URL(loopback.address);
  port = Number(address.port);
  token = address.searchParams.get('token')!;
});
afterEach(async () => {
  await loopback.close();
  await rm(folder, { recursive: true, force: true });
});

/** One request with exactly these headers: fetch would put in its own Host and Origin. */
function send(
  method: string,
  target: string,
  headers: Record<string, string> = {},
  body?: string,
): Promise<Got> {
  return new Promise((resolve, reject) => {
    const sent = request(
      { host: '127.0.0.1', port, method, path: target, headers: { host: `127.0.0.1:${port}`, ...headers } },
      (response) => {
        let text = '';
        response.on('data', (chunk: Buffer) => (text += chunk.toString()));
        response.on('end', () =>
          resolve({ status: response.statusCode!, headers: response.headers, body: text }),
        );
      },
    );
    sent.on('error', reject);
    sent.end(body);
  });
}

const cookie = (): Record<string, string> => ({ cookie: `lockstep=${token}` });
const json = { 'content-type': 'application/json' };
const listReviews = JSON.stringify({ command: 'listReviews', job: 'a', input: {} });

describe('the loopback server', () => {
  it('trades the token in its address for a cookie that scripts cannot read, and then shows the screens', async () => {
    const first = await send('GET', `/?token=${token}`);
    expect(first.status).toBe(200);
    expect(first.headers['set-cookie']).toEqual([`lockstep=${token}; Path=/; HttpOnly; SameSite=Strict`]);
    const page = await send('GET', '/', cookie());
    expect(page.body).toBe('the screens');
    expect(page.headers['content-security-policy']).toContain("frame-ancestors 'none'");
    expect(page.headers['x-content-type-options']).toBe('nosniff');
  });

  it.each([
    ['without the cookie', '/', {}],
    ['with another token', '/?token=guess', {}],
    ['with another cookie', '/', { cookie: 'lockstep=guess' }],
  ])('refuses a request %s', async (_, target, headers) => {
    expect((await send('GET', target, headers)).status).toBe(403);
  });

  it.each([
    ['a name that was pointed at this machine', { host: 'evil.example' }],
    ['a page from elsewhere', { origin: 'https://evil.example' }],
    ['a page from another port of this machine', { origin: 'http://127.0.0.1:1' }],
    ['a request that the browser says comes from another site', { 'sec-fetch-site': 'cross-site' }],
  ])('refuses %s, whatever cookie it carries', async (_, headers) => {
    const got = await send('POST', '/call', { ...json, ...cookie(), ...headers }, listReviews);
    expect(got.status).toBe(403);
  });

  it('answers a command from its own page', async () => {
    const got = await send(
      'POST',
      '/call',
      { ...json, ...cookie(), origin: `http://127.0.0.1:${port}` },
      listReviews,
    );
    expect(JSON.parse(got.body)).toEqual({ kind: 'done', output: [] });
  });

  it('serves nothing above its folder', async () => {
    await writeFile(path.join(folder, '..', path.basename(folder) + '-beside'), 'secret');
    for (const target of [`/../${path.basename(folder)}-beside`, `/%2e%2e/${path.basename(folder)}-beside`]) {
      expect((await send('GET', target, cookie())).body).not.toContain('secret');
    }
    await rm(path.join(folder, '..', path.basename(folder) + '-beside'));
  });

  it('takes in a clip as a stream, under a name of its own', async () => {
    const got = await send(
      'POST',
      `/clips?name=${encodeURIComponent('../../évil "clip".mp4')}`,
      { ...cookie(), 'content-type': 'application/octet-stream' },
      'a clip',
    );
    const clip = JSON.parse(got.body) as { sha256: string; name: string; bytes: number };
    expect(clip).toMatchObject({ name: 'évil "clip".mp4', bytes: 6 });
    const kept = await readFile(path.join(folder, 'reviews', 'clips', `${clip.sha256}.mp4`), 'utf8');
    expect(kept).toBe('a clip');
  });

  it('has no picture of a clip it does not know', async () => {
    expect((await send('GET', `/still/${'0'.repeat(64)}/0`, cookie())).status).toBe(404);
  });
});
