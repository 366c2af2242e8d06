import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';

/** What running a program took. */
export interface Cost {
  wallS: number;
  /** Processor time of the program and all that it started; NaN where the system does not tell. */
  cpuS: number;
  /** Most memory resident at once of the program and all that it started, bytes; NaN where the system does not tell. */
  peakBytes: number;
}

/** /proc/PID/stat counts processor time in hundredths of a second on every Linux that this runs on (common practice). */
const ticksPerS = 100;
const pageBytes = 4096;
const sampleEveryMs = 50;

/** Fields of a process from the third on; null where it is gone or the system has no /proc. */
function statOf(pid: number | 'self'): number[] | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8');
    return text
      .slice(text.lastIndexOf(')') + 2)
      .split(' ')
      .map(Number);
  } catch {
    return null;
  }
}

/** Processor time of children that have ended and were waited for, seconds. */
const endedChildrenS = (): number => {
  const stat = statOf('self');
  return stat ? (stat[13] + stat[14]) / ticksPerS : NaN;
};

const commandOf = (pid: number): string => {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8');
  } catch {
    return '';
  }
};

/**
 * Bytes resident of a process and its descendants. A child that has not become the program that it will run yet is the
 * parent's memory seen twice.
 */
function residentBytes(root: number): number {
  const parents = new Map<number, { parent: number; bytes: number }>();
  for (const name of readdirSync('/proc')) {
    const pid = Number(name);
    const stat = Number.isInteger(pid) ? statOf(pid) : null;
    if (stat) parents.set(pid, { parent: stat[1], bytes: stat[21] * pageBytes });
  }
  const isInside = (pid: number): boolean => {
    for (let at: number | undefined = pid; at; at = parents.get(at)?.parent) if (at === root) return true;
    return false;
  };
  const isOwn = (pid: number, parent: number): boolean =>
    pid === root || commandOf(pid) !== commandOf(parent);
  return [...parents].reduce(
    (sum, [pid, { parent, bytes }]) => sum + (isInside(pid) && isOwn(pid, parent) ? bytes : 0),
    0,
  );
}

/** Runs a program to its end without reading what it writes. @throws where it ends badly */
export async function timed(program: string, args: readonly string[]): Promise<Cost> {
  const cpuBefore = endedChildrenS();
  const startMs = performance.now();
  const child = spawn(program, args, { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said = (said + text).slice(-2000)));
  let peakBytes = NaN;
  const sampler = setInterval(() => {
    if (child.pid !== undefined && statOf('self'))
      peakBytes = Math.max(peakBytes || 0, residentBytes(child.pid));
  }, sampleEveryMs);
  try {
    const status = await new Promise<number | null>((resolve, reject) => {
      child.on('error', reject);
      child.on('close', resolve);
    });
    if (status !== 0) throw new Error(`${program} ended with status ${status}: ${said.trim()}`);
  } finally {
    clearInterval(sampler);
  }
  return {
    wallS: (performance.now() - startMs) / 1000,
    cpuS: endedChildrenS() - cpuBefore,
    peakBytes,
  };
}

/** Runs both at once and waits for both. */
export async function timedTogether(runs: readonly (() => Promise<Cost>)[]): Promise<Cost> {
  const cpuBefore = endedChildrenS();
  const startMs = performance.now();
  const costs = await Promise.all(runs.map((run) => run()));
  return {
    wallS: (performance.now() - startMs) / 1000,
    cpuS: endedChildrenS() - cpuBefore,
    peakBytes: costs.reduce((sum, c) => sum + c.peakBytes, 0),
  };
}
