import { appendFile, mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';

/**
 * Results of a long bench, one JSON line each, so that a run that was stopped goes on where it was.
 *
 * @param resume false begins anew
 * @returns what is there by index, and how to add to it
 */
export async function keptResults<T>(
  file: string,
  resume: boolean,
): Promise<{ all: Map<number, T>; add: (index: number, result: T) => Promise<void> }> {
  await mkdir(path.dirname(file), { recursive: true });
  const all = new Map<number, T>();
  const text = resume ? await readFile(file, 'utf8').catch(() => '') : '';
  // A line that was cut off when the run was stopped ends without a line break.
  const whole = text.slice(0, text.lastIndexOf('\n') + 1);
  for (const line of whole.split('\n').filter(Boolean)) {
    const { index, result } = JSON.parse(line) as { index: number; result: T };
    all.set(index, result);
  }
  await writeFile(file, whole);
  const add = async (index: number, result: T): Promise<void> => {
    all.set(index, result);
    await appendFile(file, `${JSON.stringify({ index, result })}\n`);
  };
  return { all, add };
}
