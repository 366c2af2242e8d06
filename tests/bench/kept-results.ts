import { appendFile, mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';

/**
 * The lines of a file to which a long bench adds each result as it is finished, so that a run that was stopped goes on
 * where it was. A line that was cut off when the run was stopped has no end, and is taken out.
 */
export async function keptLines(
  file: string,
): Promise<{ lines: string[]; add: (line: string) => Promise<void> }> {
  await mkdir(path.dirname(file), { recursive: true });
  const text = await readFile(file, 'utf8').catch(() => '');
  const whole = text.slice(0, text.lastIndexOf('\n') + 1);
  if (whole !== text) await writeFile(file, whole);
  return { lines: whole.split('\n').filter(Boolean), add: (line) => appendFile(file, `${line}\n`) };
}

/**
 * Results by index, one a line.
 *
 * @param resume false begins anew
 * @returns what is there, and how to add to it
 */
export async function keptResults<T>(
  file: string,
  resume: boolean,
): Promise<{ all: Map<number, T>; add: (index: number, result: T) => Promise<void> }> {
  if (!resume) await rm(file, { force: true });
  const { lines, add } = await keptLines(file);
  const all = new Map<number, T>();
  for (const line of lines) {
    const { index, result } = JSON.parse(line) as { index: number; result: T };
    all.set(index, result);
  }
  return {
    all,
    add: async (index, result) => {
      all.set(index, result);
      await add(JSON.stringify({ index, result }));
    },
  };
}
