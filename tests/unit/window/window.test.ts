import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { electronProgram, nodeCanInstall } from '../../../electron/window/find-electron.ts';
import { denyPermissions, fromOwnPage, isOwn, keepToOwnPage } from '../../../electron/window/guards.ts';
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

  const ask = async (address: string): Promise<Response> => {
    const { desk } = await openDesk(path.join(folder, 'reviews'));
    return respond(new Request(`http://lockstep${address}`), desk, path.join(folder, 'screens'));
  };

  it('serves the screens with a policy that lets nothing in from elsewhere', async () => {
    const page = await ask('/');
    expect(await page.text()).toBe('the screens');
    expect(page.headers.get('content-security-policy')).toMatch(/^default-src 'none'; script-src 'self';/);
  });

  it.each(['/../secret.html', '/%2e%2e/secret.html', '/..%2fsecret.html', '/still/00/0', '/missing.js'])(
    'has nothing at %s',
    async (address) => {
      expect((await ask(address)).status).toBe(404);
    },
  );
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
