import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { exitStatus, Failure } from '../shared-lib/contract/errors.ts';
import { openDesk } from './desk/open-desk.ts';
import { offerDemo } from './desk/demo-review.ts';
import { openInBrowser } from './loopback/open-in-browser.ts';
import { serve } from './loopback/server.ts';
import { startOptions } from './start-options.ts';

/** What `npm start` runs: the app on this machine's own address. */
const root = fileURLToPath(new URL('..', import.meta.url));

try {
  const options = startOptions(process.argv.slice(2), process.env);
  const { desk, board } = openDesk(options.reviews);
  await offerDemo(desk, path.join(root, 'demo-data'));
  const loopback = await serve(desk, board, {
    port: options.port,
    screens: path.join(root, 'dist', 'screens'),
  });
  process.stdout.write(`Lockstep is at ${loopback.address}\n`);
  if (options.open) openInBrowser(loopback.address);

  const close = async (): Promise<void> => {
    board.stopAll();
    await loopback.close();
    await desk.stills.close();
    process.exit(0);
  };
  process.once('SIGINT', () => void close());
  process.once('SIGTERM', () => void close());
} catch (error) {
  if (!(error instanceof Failure)) throw error;
  process.stderr.write(`${error.what}\n${error.advice}\n`);
  process.exitCode = exitStatus[error.kind];
}
