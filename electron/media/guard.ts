import { spawn, type ChildProcess } from 'node:child_process';

/**
 * Ends a child when this process is gone, however it went. ffmpeg ignores a closed pipe while it writes a
 * file, so a killed parent would leave it running. The guard waits on a pipe whose other end only this
 * process (or worker thread) holds: the operating system closes it even after SIGKILL.
 */
export interface Guard {
  /** The child has ended by itself: nothing to watch any more. */
  release(): void;
}

/** The shell's own `read` waits, so that the guard is one small process and leaves nothing behind. */
const posixScript = 'while read -r _; do :; done; kill -9 "$1" 2>/dev/null';

/** Program and arguments of the guard of one process id. */
export function guardCommand(pid: number, platform: NodeJS.Platform): { program: string; args: string[] } {
  return platform === 'win32'
    ? { program: 'cmd', args: ['/d', '/s', '/c', `findstr "^" >nul & taskkill /F /PID ${pid} >nul 2>&1`] }
    : { program: 'sh', args: ['-c', posixScript, 'guard', String(pid)] };
}

/** Starts the guard of a child process. */
export function guardChild(pid: number): Guard {
  const { program, args } = guardCommand(pid, process.platform);
  // A session of its own: Ctrl-C in a terminal must not end the guard before the child.
  const guard: ChildProcess = spawn(program, args, {
    stdio: ['pipe', 'ignore', 'ignore'],
    detached: true,
    windowsHide: true,
    windowsVerbatimArguments: process.platform === 'win32',
  });
  guard.on('error', () => undefined);
  guard.stdin?.on('error', () => undefined);
  guard.unref();
  return {
    release() {
      guard.kill('SIGKILL');
      guard.stdin?.destroy();
    },
  };
}
