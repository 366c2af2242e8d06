import { spawn } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { exitStatus, Failure } from '../shared-lib/contract/errors.ts';
import { openDesk } from './desk/open-desk.ts';
import { offerDemo } from './desk/demo-review.ts';
import { openInBrowser } from './loopback/open-in-browser.ts';
import { serve } from './loopback/server.ts';
import { electronProgram, installElectron } from './window/find-electron.ts';
import { logProgram } from './log/log-program.ts';
import { demoFolder } from './packed-resource.ts';
import { startOptions } from './start-options.ts';

/** What `npm start` runs: a window of its own where Electron's binary is, else the same app in the browser. */
const idleMs = 3_600_000;
const root = fileURLToPath(new URL('..', import.meta.url));

async function electronWhereItCan(): Promise<string | null> {
  const found = electronProgram();
  if (found !== null) return found;
  return (await installElectron()) ? electronProgram() : null;
}

function runWindow(program: string, args: readonly string[]): Promise<number> {
  const child = spawn(program, [path.join(root, 'dist', 'main.js'), ...args], { stdio: 'inherit' });
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('exit', (code) => resolve(code ?? 1));
  });
}

try {
  const options = startOptions(process.argv.slice(2), process.env);
  const program = options.browser ? null : await electronWhereItCan();
  if (program !== null) process.exit(await runWindow(program, process.argv.slice(2)));
  const { desk, board } = await openDesk(options.reviews);
  logProgram(desk, 'browser');
  await offerDemo(desk, demoFolder());
  const loopback = await serve(desk, board, {
    port: options.port,
    screens: path.join(root, 'dist', 'screens'),
    idle: {
      afterMs: idleMs,
      onIdle: () => {
        process.stderr.write(
          'No page has been open for an hour: Lockstep has stopped. Start it again when you like.\n',
        );
        void close('idle');
      },
    },
  });
  process.stdout.write(`Lockstep is at ${loopback.address}\n`);
  if (options.open) openInBrowser(loopback.address);

  const close = async (why: 'asked' | 'idle'): Promise<void> => {
    desk.log.write({ event: 'stopped', why });
    board.stopAll();
    await loopback.close();
    await desk.queue.close();
    await desk.stills.close();
    process.exit(0);
  };
  process.once('SIGINT', () => void close('asked'));
  process.once('SIGTERM', () => void close('asked'));
} catch (error) {
  if (!(error instanceof Failure)) throw error;
  process.stderr.write(`${error.what}\n${error.advice}\n`);
  process.exitCode = exitStatus[error.kind];
}
