import { homedir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { Failure } from '../shared-lib/contract/errors.ts';

export interface StartOptions {
  /** Serve to a browser even where Electron could open a window. */
  browser: boolean;
  /** 0 takes a free one. */
  port: number;
  /** Open the browser at the address. */
  open: boolean;
  /** Where reviews are kept. */
  reviews: string;
}

export function startOptions(args: readonly string[], env: NodeJS.ProcessEnv): StartOptions {
  const values = words(args);
  const port = Number(values.port ?? 0);
  if (!Number.isInteger(port) || port < 0 || port > 65535) {
    throw new Failure(
      'usage',
      `--port ${values.port} is no port.`,
      'Give a number from 0 to 65535, or leave it out.',
    );
  }
  const caller = env.npm_lifecycle_event && env.INIT_CWD ? env.INIT_CWD : process.cwd();
  return {
    browser: values.browser ?? false,
    port,
    open: !(values['no-open'] ?? false),
    reviews: values.reviews === undefined ? defaultFolder(env) : path.resolve(caller, values.reviews),
  };
}

function words(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      options: {
        browser: { type: 'boolean' },
        port: { type: 'string' },
        'no-open': { type: 'boolean' },
        reviews: { type: 'string' },
      },
      strict: true,
    }).values;
  } catch (error) {
    const reason = (error as Error).message.split('. ')[0].replace(/\.$/, '');
    throw new Failure(
      'usage',
      `${reason}.`,
      'npm start takes --browser, --port N, --no-open and --reviews DIR.',
    );
  }
}

/** Where programs keep a user's data on each system. */
function defaultFolder(env: NodeJS.ProcessEnv): string {
  if (process.platform === 'darwin')
    return path.join(homedir(), 'Library', 'Application Support', 'Lockstep');
  if (process.platform === 'win32')
    return path.join(env.APPDATA ?? path.join(homedir(), 'AppData', 'Roaming'), 'Lockstep');
  return path.join(env.XDG_DATA_HOME ?? path.join(homedir(), '.local', 'share'), 'lockstep');
}
