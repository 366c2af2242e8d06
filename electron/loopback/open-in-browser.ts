import { spawn } from 'node:child_process';

/** Asks the system to open an address; where it cannot, the address that was printed is enough. */
export function openInBrowser(address: string): void {
  const [program, ...args] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['rundll32', 'url.dll,FileProtocolHandler', address]
        : ['xdg-open', address];
  const child = spawn(program, args, { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}
