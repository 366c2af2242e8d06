import { once } from 'node:events';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { request, type IncomingHttpHeaders } from 'node:http';
import { networkInterfaces, tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { serve, type Loopback, type LoopbackOptions } from '../../../electron/loopback/server.ts';

interface Got {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
}

let folder: string;
let loopback: Loopback;
let port: number;
let token: string;

/** Serves a new desk, under these limits. */
async function open(options: Partial<LoopbackOptions> = {}): Promise<void> {
  const { desk, board } = await openDesk(path.join(folder, 'reviews'));
  loopback = await serve(desk, board, { port: 0, screens: folder, ...options });
  const address = new URL(loopback.address);
  port = Number(address.port);
  token = address.searchParams.get('token')!;
  const [first] = (await send('GET', `/?token=${token}`)).headers['set-cookie'] as string[];
  given = first.split(';')[0];
}

beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-loopback-'));
  await writeFile(path.join(folder, 'index.html'), 'the screens');
  await writeFile(path.join(folder, 'icon.svg'), '<svg/>');
  await open();
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
        response.on('end', () => {
          counted[response.statusCode! >= 400 ? 'refused' : 'answered'] += 1;
          resolve({ status: response.statusCode!, headers: response.headers, body: text });
        });
      },
    );
    sent.on('error', reject);
    sent.end(body);
  });
}

/** For the figure at the end. */
const counted = { refused: 0, answered: 0 };
afterAll(() => {
  const { refused, answered } = counted;
  process.stdout.write(`${refused} real requests refused, ${answered} of the page's own answered\n`);
});

let given = '';
const cookie = (): Record<string, string> => ({ cookie: given });
const json = { 'content-type': 'application/json' };
const listReviews = JSON.stringify({ command: 'listReviews', job: 'a', input: {} });

describe('the loopback server', () => {
  it('trades the token in its address for a cookie that scripts cannot read, and then shows the screens', async () => {
    const first = await send('GET', `/?token=${token}`);
    expect(first.status).toBe(200);
    const [set] = first.headers['set-cookie'] as string[];
    expect(set).toMatch(/^lockstep=[\w-]{32}; Path=\/; HttpOnly; SameSite=Strict$/);
    expect(set).not.toContain(token);
    expect(first.headers['referrer-policy']).toBe('no-referrer');
    const page = await send('GET', '/', cookie());
    expect(page.body).toBe('the screens');
    expect(page.headers['content-security-policy']).toContain("frame-ancestors 'none'");
    expect(page.headers['x-content-type-options']).toBe('nosniff');
  });

  it('has an icon for pages that name none', async () => {
    const icon = await send('GET', '/favicon.ico', cookie());
    expect(icon).toMatchObject({ status: 200, body: '<svg/>' });
    expect(icon.headers['content-type']).toBe('image/svg+xml');
  });

  it.each([
    ['without the cookie', '/', {}],
    ['with another token', '/?token=guess', {}],
    ['with another cookie', '/', { cookie: 'lockstep=guess' }],
    ['for a command without the cookie', '/call', {}],
    ['for the events without the cookie', '/events', {}],
    ['with the token anywhere but in the first address', '/still/0/0?token=', {}],
  ])('refuses a request %s', async (_, target, headers) => {
    expect((await send('GET', target, headers)).status).toBe(403);
  });

  it.each([
    ['a name that was pointed at this machine', { host: 'evil.example' }],
    ['a page from elsewhere', { origin: 'https://evil.example' }],
    ['a page from another port of this machine', { origin: 'http://127.0.0.1:1' }],
    ['a page that has no origin', { origin: 'null' }],
    ['a request that the browser says comes from another site', { 'sec-fetch-site': 'cross-site' }],
    ['a request of a page on another port of this machine', { 'sec-fetch-site': 'same-site' }],
    ['a name that only ends like ours', { host: '127.0.0.1.evil.example' }],
    ['our name on another port', { host: '127.0.0.1:1' }],
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

  it('answers to its loopback address only', async () => {
    const others = Object.values(networkInterfaces())
      .flatMap((each) => each ?? [])
      .filter(({ internal, family }) => !internal && family === 'IPv4');
    for (const { address } of others) {
      await expect(
        fetch(`http://${address}:${port}/`, { signal: AbortSignal.timeout(2000) }),
      ).rejects.toThrow();
    }
    expect(new URL(loopback.address).hostname).toBe('127.0.0.1');
  });

  it('puts its guards on every answer, refusals and events too', async () => {
    const events = await new Promise<IncomingHttpHeaders>((resolve, reject) => {
      const sent = request(
        { host: '127.0.0.1', port, path: '/events', headers: { ...cookie() } },
        (response) => {
          resolve(response.headers);
          response.destroy();
        },
      );
      sent.on('error', reject);
      sent.end();
    });
    const refused = (await send('GET', '/')).headers;
    const missing = (await send('GET', '/nothing', cookie())).headers;
    const picture = (await send('GET', '/still/0/0', cookie())).headers;
    for (const headers of [events, refused, missing, picture]) {
      expect(headers).toMatchObject({
        'content-security-policy': expect.stringMatching(
          /^default-src 'none';.*frame-ancestors 'none'/,
        ) as string,
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'no-referrer',
        'cross-origin-resource-policy': 'same-origin',
        'cross-origin-opener-policy': 'same-origin',
      });
      expect(headers['access-control-allow-origin']).toBeUndefined();
    }
  });

  it('takes a command as JSON only, of a size that a review has', async () => {
    const sent = (type: string, body: string) =>
      send('POST', '/call', { ...cookie(), 'content-type': type }, body);
    expect((await sent('text/plain', listReviews)).status).toBe(415);
    expect((await sent('application/x-www-form-urlencoded', 'command=listReviews')).status).toBe(415);
    expect((await sent('application/json', `"${'x'.repeat(1_000_001)}"`)).status).toBe(413);
    expect((await sent('application/json', '{"command"')).status).toBe(400);
    expect((await sent('application/json', '{"__proto__":{"x":1}}')).status).toBe(400);
  });

  it.each(['null', '{}', '[]', '{"job":1}'])(
    'is not upset by a stop that makes no sense: %s',
    async (body) => {
      expect((await send('POST', '/stop', { ...json, ...cookie() }, body)).status).toBe(200);
    },
  );

  it.each([
    ...[
      '/hand-back/..%2f..%2fx/page.html',
      '/hand-back/x/..%2freview.json',
      '/hand-back/x/%2e%2e/%2e%2e/clips.json',
    ],
    ...[
      '/still/..%2f..%2fclips.json/0',
      '/zip/..%2fclips',
      '/.hidden',
      '/%00',
      '/..%5c..%5csecret',
      '//evil.example/',
    ],
  ])('has nothing at %s, and tells no path', async (target) => {
    await writeFile(path.join(folder, '.hidden'), 'secret');
    const got = await send('GET', target, cookie());
    expect(got.status).toBeGreaterThanOrEqual(400);
    expect(got.body).not.toMatch(/secret|\/tmp|node_modules|at \w+ \(/);
  });

  it('refuses a file that is too large, whether it says so or not, and keeps nothing of it', async () => {
    await loopback.close();
    await open({ largestFile: 100_000 });
    const headers = { ...cookie(), 'content-type': 'application/octet-stream' };
    const told = await send('POST', '/clips?name=a.mp4', headers, 'x'.repeat(100_001)).catch(() => null);
    expect([null, 422]).toContain(told && told.status);
    // In pieces, without a length in the header.
    const untold = await send(
      'POST',
      '/clips?name=a.mp4',
      { ...headers, 'transfer-encoding': 'chunked' },
      'x'.repeat(300_000),
    ).catch(() => null);
    expect([null, 422]).toContain(untold && untold.status);
    expect(await readdir(path.join(folder, 'reviews', 'clips')).catch(() => [])).toEqual([]);
    const kept = await send('POST', '/clips?name=a.mp4', headers, 'x'.repeat(100_000));
    expect(kept.status).toBe(200);
  });

  it('keeps nothing of a file whose sender goes away', async () => {
    await new Promise<void>((resolve) => {
      const headers = {
        ...cookie(),
        'content-type': 'application/octet-stream',
        'content-length': '1000000',
      };
      const sent = request({ host: '127.0.0.1', port, method: 'POST', path: '/clips?name=a.mp4', headers });
      sent.on('error', () => resolve());
      sent.write('x'.repeat(50_000), () => setTimeout(() => sent.destroy(), 100));
      sent.on('close', () => resolve());
    });
    await expect.poll(() => readdir(path.join(folder, 'reviews', 'clips'))).toEqual([]);
  });

  it('counts requests, and waits with those beyond the limit', async () => {
    await loopback.close();
    await open({ mostRequests: 5 });
    const statuses: number[] = [];
    for (let i = 0; i < 8; i += 1) statuses.push((await send('GET', '/', cookie())).status);
    // One went for the cookie.
    expect(statuses).toEqual([200, 200, 200, 200, 429, 429, 429, 429]);
  });

  it('holds no more than sixteen pages’ lines for events', async () => {
    const open = Array.from({ length: 17 }, () => {
      const sent = request({ host: '127.0.0.1', port, path: '/events', headers: cookie() });
      sent.end();
      return sent;
    });
    const statuses = await Promise.all(
      open.map(
        (sent) => new Promise((resolve) => sent.on('response', ({ statusCode }) => resolve(statusCode))),
      ),
    );
    expect(statuses.filter((status) => status === 429)).toHaveLength(1);
    for (const sent of open) sent.destroy();
  });

  it('says when it has been idle, and not while a page is open', async () => {
    await loopback.close();
    let idle = 0;
    await open({ idle: { afterMs: 150, onIdle: () => (idle += 1) } });
    const page = request({ host: '127.0.0.1', port, path: '/events', headers: cookie() });
    page.on('error', () => undefined);
    page.end();
    await once(page, 'response');
    await new Promise((resolve) => setTimeout(resolve, 500));
    expect(idle).toBe(0);
    page.destroy();
    await expect.poll(() => idle).toBe(1);
  });
});
