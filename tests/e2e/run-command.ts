import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

export interface Ended {
  status: number | null;
  stdout: string;
  stderr: string;
}

const cli = fileURLToPath(new URL('../../dist/cli.js', import.meta.url));

export interface RunOptions {
  cwd?: string;
  env?: Record<string, string>;
  /** Called once the program runs: to send it a signal. */
  onStart?: (kill: (signal: NodeJS.Signals) => void) => void;
}

/** Runs the built command line as a user would, with pipes instead of a terminal. */
export function runLockstep(args: readonly string[], options: RunOptions = {}): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [cli, ...args], {
      cwd: options.cwd,
      env: { ...process.env, npm_lifecycle_event: '', INIT_CWD: '', ...options.env },
    });
    let stdout = '';
    let stderr = '';
    child.stdout.on('data', (chunk: Buffer) => (stdout += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (stderr += chunk.toString()));
    child.on('error', reject);
    child.on('close', (status) => resolve({ status, stdout, stderr }));
    options.onStart?.((signal) => child.kill(signal));
  });
}
