import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';

const partsSchema = z.object({
  schema: z.literal(1),
  version: z.string(),
  parts: z.array(z.object({ name: z.string(), version: z.string(), licence: z.string(), text: z.string() })),
});
export type Parts = z.infer<typeof partsSchema>;

/** What the program is made of, as the build wrote it beside the scripts. */
export async function readParts(scripts: string): Promise<Parts> {
  const text = await readFile(path.join(scripts, 'licences.json'), 'utf8').catch(() => null);
  if (text === null) return { schema: 1, version: 'from source', parts: [] };
  return partsSchema.parse(JSON.parse(text));
}

/** @throws Failure where the program has no such part */
export function licenceOf({ parts }: Parts, name: string, version: string): string {
  const part = parts.find((each) => each.name === name && each.version === version);
  if (part) return part.text || `It is licensed under ${part.licence}; its package carries no text of it.`;
  throw new Failure('usage', `Lockstep has no part called ${name}.`, 'Choose one from the list.');
}
