import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { packedResource } from '../../../electron/packed-resource.ts';
import { electronProgram, nodeCanInstall } from '../../../electron/window/find-electron.ts';
import {
  denyPermissions,
  fromOwnPage,
  isOwn,
  keepToOwnPage,
  shutOffNetwork,
} from '../../../electron/window/guards.ts';
import { windowOptions } from '../../../electron/window/options.ts';
import { respond } from '../../../electron/window/respond.ts';

describe('the window', () => {
  it('shuts its page off from Node and from other pages', () => {
    expect(windowOptions('preload.cjs').webPreferences).toMatchObject({
      preload: 'preload.cjs',
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webviewTag: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
    });
    const set = Object.keys(windowOptions('preload.cjs').webPreferences!);
    expect(set.filter((name) => /experimental|blink|popups/i.test(name))).toEqual([]);
  });

  it('opens nothing outside that a page names', async () => {
    const folder = new URL('../../../electron/', import.meta.url);
    const calls: string[] = [];
    for (const name of await readdir(folder, { recursive: true })) {
      if (!name.endsWith('.ts')) continue;
      const text = await readFile(new URL(name.replaceAll(path.sep, '/'), folder), 'utf8');
      for (const [call] of text.matchAll(/\bshell\.\w+\([^)]*\)/g)) calls.push(`${name}: ${call}`);
    }
    expect(calls).toEqual(['main.ts: shell.openPath(desk.log.folder)']);
  });

  it.each([
    ['app://lockstep/', true],
    ['app://lockstep/#review', true],
    ['app://lockstep.evil/', false],
    ['app://other/', false],
    ['https://lockstep/', false],
    ['file:///etc/passwd', false],
    ['about:blank', false],
    ['not an address', false],
  ])('knows its own page: %s is %s', (address, own) => {
    expect(isOwn(address)).toBe(own);
  });

  it('answers its own top frame only', () => {
    const frame = (url: string, parent: object | null) =>
      ({ senderFrame: { url, parent } }) as unknown as Parameters<typeof fromOwnPage>[0];
    expect(fromOwnPage(frame('app://lockstep/', null))).toBe(true);
    expect(fromOwnPage(frame('app://lockstep/', {}))).toBe(false);
    expect(fromOwnPage(frame('https://evil.example/', null))).toBe(false);
    expect(fromOwnPage({ senderFrame: null })).toBe(false);
  });

  it('denies every permission, asked for or checked', () => {
    const answers: boolean[] = [];
    denyPermissions({
      setPermissionRequestHandler: (handler) =>
        handler?.({} as never, 'media', (given) => answers.push(given), {} as never),
      setPermissionCheckHandler: (handler) => answers.push(handler!(null, 'media', '', {} as never)),
      setDevicePermissionHandler: (handler) => answers.push(handler!({} as never)),
    });
    expect(answers).toEqual([false, false, false]);
  });

  it.each([
    ['app://lockstep/still/a/0', false],
    ['blob:app://lockstep/1-2', false],
    ['data:image/png;base64,', false],
    ['https://example.org/', true],
    ['http://127.0.0.1/', true],
    ['ws://127.0.0.1/', true],
    ['file:///etc/passwd', true],
    ['app://lockstep.example/', true],
    ['blob:https://example.org/1', true],
  ])('reaches no network: %s is refused: %s', (url, cancel) => {
    const answers: unknown[] = [];
    shutOffNetwork({
      webRequest: {
        onBeforeRequest: (listener: (details: object, answer: (given: object) => void) => void) =>
          listener({ url }, (given) => answers.push(given)),
      },
    } as unknown as Parameters<typeof shutOffNetwork>[0]);
    expect(answers).toEqual([{ cancel }]);
  });

  it('lets no page lead elsewhere, open a window or embed one', () => {
    const handlers = new Map<string, (event: object) => void>();
    let open: ((details: never) => { action: string }) | undefined;
    keepToOwnPage({
      on: (name: string, handler: (event: object) => void) => handlers.set(name, handler),
      setWindowOpenHandler: (handler: (details: never) => { action: string }) => (open = handler),
    } as unknown as Parameters<typeof keepToOwnPage>[0]);
    const stopped = (name: string, url: string): boolean => {
      const preventDefault = vi.fn();
      handlers.get(name)!({ url, preventDefault });
      return preventDefault.mock.calls.length > 0;
    };
    expect(stopped('will-navigate', 'https://evil.example/')).toBe(true);
    expect(stopped('will-redirect', 'https://evil.example/')).toBe(true);
    expect(stopped('will-navigate', 'app://lockstep/')).toBe(false);
    expect(stopped('will-attach-webview', 'app://lockstep/')).toBe(true);
    expect(open!({} as never)).toEqual({ action: 'deny' });
  });
});

describe('the window’s own scheme', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-window-'));
    await mkdir(path.join(folder, 'screens'));
    await writeFile(path.join(folder, 'screens', 'index.html'), 'the screens');
    await writeFile(path.join(folder, 'secret.html'), 'secret');
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  const ask = async (address: string, headers: Record<string, string> = {}): Promise<Response> => {
    const { desk } = await openDesk(path.join(folder, 'reviews'));
    return respond(new Request(`http://lockstep${address}`, { headers }), desk, path.join(folder, 'screens'));
  };

  it('serves the screens with a policy that lets nothing in from elsewhere', async () => {
    const page = await ask('/');
    expect(await page.text()).toBe('the screens');
    expect(page.headers.get('content-security-policy')).toMatch(/^default-src 'none'; script-src 'self';/);
  });

  it('gives what goes back and packed lifters, a film by the part that is asked for, and nothing beside them', async () => {
    const { desk } = await openDesk(path.join(folder, 'reviews'));
    const review = await desk.reviews.start(new Date('2026-03-01T10:00:00Z'));
    const lifter = await desk.lifters.start('Rowan Teale', new Date('2026-03-01T10:00:00Z'));
    const back = path.join(desk.reviews.folderOf(review.id), 'hand-back');
    await mkdir(back, { recursive: true });
    await mkdir(path.join(folder, 'reviews', 'zips'));
    await writeFile(path.join(back, 'side-by-side.mp4'), '0123456789');
    await writeFile(path.join(back, 'notes.txt'), 'mine');
    await writeFile(path.join(folder, 'reviews', 'zips', `${lifter.id}.zip`), 'PK');
    const film = await ask(`/hand-back/${review.id}/side-by-side.mp4`, { range: 'bytes=2-5' });
    expect([film.status, await film.text()]).toEqual([206, '2345']);
    expect(film.headers.get('content-range')).toBe('bytes 2-5/10');
    expect((await ask(`/hand-back/${review.id}/side-by-side.mp4`, { range: 'bytes=12-' })).status).toBe(416);
    const whole = await ask(`/zip/${lifter.id}`);
    expect(await whole.text()).toBe('PK');
    expect(whole.headers.get('content-disposition')).toContain(`${lifter.id}.zip`);
    for (const address of [
      `/hand-back/${review.id}/notes.txt`,
      `/hand-back/${review.id}/../review.json`,
      '/hand-back/none/page.html',
      '/zip/none',
    ])
      expect((await ask(address)).status).toBe(404);
  });

  it.each([
    '/../secret.html',
    '/%2e%2e/secret.html',
    '/..%2fsecret.html',
    '/still/00/0',
    '/missing.js',
    '/%',
    '/%00.js',
  ])('has nothing at %s', async (address) => {
    expect((await ask(address)).status).toBe(404);
  });
});

describe('the window’s preload', () => {
  it('hands on what is said and no event of Electron’s, and takes in nothing but Electron', async () => {
    const source = await readFile(new URL('../../../electron/window/preload.ts', import.meta.url), 'utf8');
    expect([...source.matchAll(/^import .* from '([^']+)'/gm)].map((match) => match[1])).toEqual([
      ...['electron', '../../shared-lib/contract/window-bridge.ts'],
    ]);
    expect(source).not.toMatch(/exposeInMainWorld\('[^']+', (ipcRenderer|webUtils)/);
    expect(source.match(/ipcRenderer\.on\(/g)).toHaveLength(1);
    expect(source).toMatch(
      /\(_: unknown, said: T\): void => listener\(said\);\s+ipcRenderer\.on\(channel, heard\)/,
    );
  });
});

describe('the installers', () => {
  it('shut every door of the program that it does not use', async () => {
    const config = await readFile(new URL('../../../electron/electron-builder.yml', import.meta.url), 'utf8');
    const fuses = Object.fromEntries(
      [...config.matchAll(/^ {2}(\w+): (true|false)$/gm)].map(([, k, v]) => [k, v]),
    );
    expect(fuses).toEqual({
      runAsNode: 'false',
      enableCookieEncryption: 'true',
      enableNodeOptionsEnvironmentVariable: 'false',
      enableNodeCliInspectArguments: 'false',
      enableEmbeddedAsarIntegrityValidation: 'true',
      onlyLoadAppFromAsar: 'true',
      loadBrowserProcessSpecificV8Snapshot: 'false',
      grantFileProtocolExtraPrivileges: 'false',
      hardenedRuntime: 'true',
    });
    expect(config).toMatch(/^asar: true$/m);
  });

  it('put what other programs read beside the archive, where it is found', async () => {
    const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-packed-'));
    await mkdir(path.join(folder, 'media'));
    await writeFile(path.join(folder, 'media', 'ffmpeg'), '');
    expect(packedResource('media/ffmpeg', folder)).toBe(path.join(folder, 'media', 'ffmpeg'));
    expect(packedResource('media/ffprobe', folder)).toBeNull();
    expect(packedResource('media/ffmpeg', undefined)).toBeNull();
    await rm(folder, { recursive: true });
  });
});

describe('the packages', () => {
  it('each have a hash of their contents, and the shell is pinned to one version', async () => {
    const read = async (name: string): Promise<unknown> =>
      JSON.parse(await readFile(new URL(`../../../${name}`, import.meta.url), 'utf8'));
    const { packages } = (await read('package-lock.json')) as {
      packages: Record<string, { integrity?: string }>;
    };
    const without = Object.entries(packages).filter(
      ([name, { integrity }]) => name !== '' && !integrity?.startsWith('sha512-'),
    );
    expect(without.map(([name]) => name)).toEqual([]);
    const { devDependencies } = (await read('package.json')) as { devDependencies: Record<string, string> };
    expect(devDependencies.electron).toMatch(/^\d+\.\d+\.\d+$/);
  });
});

describe('Electron', () => {
  it('is taken where its binary lies, and not where only the package does', async () => {
    const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-electron-'));
    expect(electronProgram(folder)).toBeNull();
    await writeFile(path.join(folder, 'path.txt'), 'electron');
    expect(electronProgram(folder)).toBeNull();
    await mkdir(path.join(folder, 'dist'));
    await writeFile(path.join(folder, 'dist', 'electron'), '');
    expect(electronProgram(folder)).toBe(path.join(folder, 'dist', 'electron'));
    await rm(folder, { recursive: true });
  });

  it.each([
    ['20.19.0', false],
    ['22.11.9', false],
    ['22.12.0', true],
    ['24.0.0', true],
  ])('can be installed by Node %s: %s', (version, can) => {
    expect(nodeCanInstall(version)).toBe(can);
  });
});
