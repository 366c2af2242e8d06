import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, session, shell } from 'electron';
import { menuSchema, type MenuList } from '../shared-lib/contract/menu.ts';
import { offerDemo } from './desk/demo-review.ts';
import { openDesk } from './desk/open-desk.ts';
import { demoFolder } from './packed-resource.ts';
import { startOptions } from './start-options.ts';
import { denyPermissions, fromOwnPage, keepToOwnPage, shutOffNetwork } from './window/guards.ts';
import { logProgram } from './log/log-program.ts';
import { menuOf } from './window/menu.ts';
import { origin, scheme, windowOptions } from './window/options.ts';
import { placeFiles } from './window/place-files.ts';
import { respond } from './window/respond.ts';

const dist = fileURLToPath(new URL('.', import.meta.url));

protocol.registerSchemesAsPrivileged([
  { scheme, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
]);
app.enableSandbox();
// A second start shows the first one's window: two programs on one folder are asked for by hand only.
if (!app.requestSingleInstanceLock()) app.exit(0);
app.on('web-contents-created', (_event, contents) => keepToOwnPage(contents));

await app.whenReady();
// An installed program is its own first word; from the source tree the script comes second.
const options = startOptions(process.argv.slice(app.isPackaged ? 1 : 2), process.env);
const { desk, board } = await openDesk(options.reviews);
logProgram(desk, 'window');
await offerDemo(desk, demoFolder());

denyPermissions(session.defaultSession);
shutOffNetwork(session.defaultSession);
protocol.handle(scheme, (request) => respond(request, desk, path.join(dist, 'screens')));
ipcMain.handle('call', (event, message) => {
  if (!fromOwnPage(event)) throw new Error('Only the program’s own page may ask.');
  return board.answer(message);
});
ipcMain.on('stop', (event, job: unknown) => {
  if (fromOwnPage(event) && typeof job === 'string') board.stop(job);
});

ipcMain.handle('place', (event, message) => {
  if (!fromOwnPage(event)) throw new Error('Only the program’s own page may ask.');
  return placeFiles(message, desk, async () => {
    const { canceled, filePaths } = await dialog.showOpenDialog(window, {
      title: 'Where the files shall go',
      buttonLabel: 'Put them here',
      properties: ['openDirectory', 'createDirectory'],
    });
    return canceled ? null : (filePaths[0] ?? null);
  });
});

const window = new BrowserWindow(windowOptions(path.join(dist, 'preload.cjs')));
app.on('second-instance', () => {
  if (window.isMinimized()) window.restore();
  window.focus();
});
board.listen((event) => {
  if (!window.isDestroyed()) window.webContents.send('event', event);
});
const showMenu = (list: MenuList): void =>
  Menu.setApplicationMenu(
    Menu.buildFromTemplate(
      menuOf(app.name, list, {
        choose: (label) => window.webContents.send('chosen', label),
        openLog: () => void shell.openPath(desk.log.folder),
      }),
    ),
  );
showMenu([]);
ipcMain.on('menu', (event, message) => {
  const list = menuSchema.safeParse(message);
  if (fromOwnPage(event) && list.success) showMenu(list.data);
});
window.webContents.on('render-process-gone', (_event, { reason }) => {
  const error = desk.log.shapeOf(new Error(reason));
  desk.log.write({ event: 'fault', where: 'page', error });
  // What was entered is kept: the page comes back as it was.
  if (reason !== 'clean-exit') window.reload();
});
window.once('ready-to-show', () => window.show());
app.on('window-all-closed', () => {
  desk.log.write({ event: 'stopped', why: 'asked' });
  board.stopAll();
  void Promise.all([desk.queue.close(), desk.stills.close()]).finally(() => app.quit());
});
await window.loadURL(`${origin}/`);
