import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

/** Electron's own installer needs this much of Node. */
const leastNode = [22, 12] as const;
const installWithinMs = 90_000;

/** The folder of the installed package; null where it is not installed. */
function packageFolder(): string | null {
  try {
    return path.dirname(createRequire(import.meta.url).resolve('electron/package.json'));
  } catch {
    return null;
  }
}

/** Path of Electron's program, where its binary is; null otherwise. */
export function electronProgram(folder = packageFolder()): string | null {
  if (folder === null) return null;
  const named = path.join(folder, 'path.txt');
  if (!existsSync(named)) return null;
  const program = path.join(folder, 'dist', readFileSync(named, 'utf8').trim());
  return existsSync(program) ? program : null;
}

export const nodeCanInstall = (version = process.versions.node): boolean => {
  const [major, minor] = version.split('.').map(Number);
  return major > leastNode[0] || (major === leastNode[0] && minor >= leastNode[1]);
};

/**
 * Runs Electron's installer once, with what it prints going to standard error, for at most 90 s.
 *
 * @returns whether the program is there now
 */
export async function installElectron(): Promise<boolean> {
  const folder = packageFolder();
  if (folder === null || !nodeCanInstall()) return false;
  process.stderr.write('Fetching the window shell (once; at most 90 seconds)…\n');
  const child = spawn(process.execPath, [path.join(folder, 'install.js')], { stdio: ['ignore', 2, 2] });
  const timer = setTimeout(() => child.kill('SIGKILL'), installWithinMs);
  await new Promise<void>((resolve) => {
    child.on('exit', () => resolve());
    child.on('error', () => resolve());
  });
  clearTimeout(timer);
  return electronProgram(folder) !== null;
}
