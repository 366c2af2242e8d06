import { copyFile } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import type { Answer } from '../../shared-lib/contract/desk.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { handBackFolder } from '../desk/hand-back.ts';
import type { Desk } from '../desk/handlers.ts';
import { OutputFolder } from '../desk/output-folder.ts';
import { filesOf } from '../desk/pair.ts';

const messageSchema = z.object({
  id: z.string().regex(/^[a-z0-9-]{1,64}$/),
  names: z.array(z.enum(Object.values(filesOf).flat() as [string, ...string[]])).min(1),
});

/**
 * Copies files that were made to be handed back into a folder that the user chooses; all of them or none. The page names the
 * files, never the folder.
 *
 * @param choose asks for the folder; null where none was chosen
 */
export async function placeFiles(
  message: unknown,
  desk: Pick<Desk, 'reviews'>,
  choose: () => Promise<string | null>,
): Promise<Answer> {
  const asked = messageSchema.safeParse(message);
  if (!asked.success) return failed(new Failure('usage', 'There are no such files.', 'Make them again.'));
  const { id, names } = asked.data;
  const folder = await choose();
  if (folder === null) return { kind: 'done', output: null };
  try {
    const out = await OutputFolder.open(folder, names);
    try {
      const from = path.join(desk.reviews.folderOf(id), handBackFolder);
      for (const name of names) await copyFile(path.join(from, name), await out.pathFor(name));
      await out.commit();
    } catch (error) {
      await out.discard();
      throw error;
    }
    return { kind: 'done', output: folder };
  } catch (error) {
    return failed(
      error instanceof Failure
        ? error
        : new Failure(
            'usage',
            'The files could not be copied.',
            'Make them again, or choose another folder.',
          ),
    );
  }
}

const failed = ({ kind, what, advice }: Failure): Answer => ({
  kind: 'failed',
  failure: { kind, what, advice },
});
