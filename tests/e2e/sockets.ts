import { readdirSync, readFileSync, readlinkSync } from 'node:fs';

/** Addresses that a process has a socket to now, IPv4 and IPv6 in the kernel's own notation; empty where none can be told. */
export function peersOf(pid: number): string[] {
  if (process.platform !== 'linux') return [];
  const inodes = new Set(
    readdirSync(`/proc/${pid}/fd`).flatMap(
      (fd) => /socket:\[(\d+)\]/.exec(link(`/proc/${pid}/fd/${fd}`))?.[1] ?? [],
    ),
  );
  return ['tcp', 'udp', 'tcp6', 'udp6'].flatMap((table) =>
    readFileSync(`/proc/${pid}/net/${table}`, 'utf8')
      .split('\n')
      .slice(1)
      .map((line) => line.trim().split(/\s+/))
      // Columns of proc(5): the third is the peer, the tenth the socket's inode. One that listens has no peer.
      .filter((columns) => inodes.has(columns[9]) && !/^0+:0000$/.test(columns[2]))
      .map((columns) => dotted(columns[2].split(':')[0])),
  );
}

const link = (file: string): string => {
  try {
    return readlinkSync(file);
  } catch {
    return '';
  }
};

/** An IPv4 address is written as one number in the machine's order of bytes, which is the little end first. */
const dotted = (hex: string): string =>
  hex.length === 8 ? [...Buffer.from(hex, 'hex')].reverse().join('.') : hex;
