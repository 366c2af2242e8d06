import { spawnSync } from 'node:child_process';
import path from 'node:path';

/** Whether what a program asks of the operating system can be written down here. */
export const canWatch = (): boolean =>
  process.platform === 'linux' && spawnSync('strace', ['-o', '/dev/null', 'true']).status === 0;

/** The words that start a command so that its calls, and its children's, are written into a file. */
export function watched(log: string, command: readonly string[]): [string, string[]] {
  const calls =
    'openat,open,creat,mkdir,mkdirat,rename,renameat,renameat2,symlink,symlinkat,link,linkat,truncate,connect,sendto,bind';
  return ['strace', ['-f', '-qq', '-y', '-s', '300', '-e', `trace=${calls}`, '-o', log, ...command]];
}

export interface Touched {
  /** Files and folders that were made, changed or renamed, absolute. */
  written: string[];
  /** Files that were opened to be read, absolute. */
  read: string[];
  /** Internet addresses that were connected or sent to, with their ports. */
  reached: string[];
}

/**
 * What a log says was touched, each once. Calls that failed count too: to try is enough.
 *
 * @param cwd where the watched command was started
 */
export function touchedIn(log: string, cwd: string): Touched {
  const written = new Set<string>();
  const read = new Set<string>();
  const reached = new Set<string>();
  for (const line of log.split('\n')) {
    const call = /^\d+ +(\w+)\((.*)$/.exec(line);
    if (!call) continue;
    const [, name, rest] = call;
    const internet = /sin6?_port=htons\((\d+)\).*?(?:inet_addr\("|inet_pton\(AF_INET6, ")([^"]+)"/.exec(rest);
    if (internet && name !== 'bind') reached.add(`${internet[2]}:${internet[1]}`);
    if (['connect', 'sendto', 'bind'].includes(name)) continue;
    const base = /^AT_FDCWD<([^>]*)>|^\d+<([^>]*)>/.exec(rest);
    const named = [...rest.matchAll(/"((?:[^"\\]|\\.)*)"/g)].map((match) =>
      path.resolve(base?.[1] ?? base?.[2] ?? cwd, match[1]),
    );
    const opens = name.startsWith('open');
    const toWrite = !opens || /O_(WRONLY|RDWR|CREAT|TRUNC|APPEND)/.test(rest);
    for (const file of named) (toWrite ? written : read).add(file);
  }
  return { written: [...written], read: [...read], reached: [...reached] };
}
