import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const entry = fileURLToPath(new URL('../../dist/start.js', import.meta.url));

export interface App {
  pid: number;
  address: string;
  /** What it printed on standard output. */
  printed: string;
  stop(): Promise<number | null>;
  /** Ends it as a crash would. */
  kill(): Promise<void>;
}

/** Starts the built program as `npm start -- --no-open` does, its reviews in `folder`; `env` stands above the environment. */
export async function startApp(
  folder: string,
  args: readonly string[] = [],
  env: Readonly<Record<string, string>> = {},
): Promise<App> {
  const child = spawn(process.execPath, [entry, '--no-open', '--reviews', folder, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, ...env },
  });
  let printed = '';
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (chunk: Buffer) => {
      printed += chunk.toString();
      const found = /^Lockstep is at (\S+)$/m.exec(printed);
      if (found) resolve(found[1]);
    });
    child.on('error', reject);
    child.on('exit', (code) => reject(new Error(`The program ended with status ${code}.`)));
  });
  return {
    pid: child.pid!,
    address,
    printed,
    async stop() {
      if (child.exitCode !== null || child.signalCode !== null) return child.exitCode;
      const ended = once(child, 'exit');
      child.kill('SIGTERM');
      const [code] = (await ended) as [number | null];
      return code;
    },
    async kill() {
      const ended = once(child, 'exit');
      child.kill('SIGKILL');
      await ended;
    },
  };
}
