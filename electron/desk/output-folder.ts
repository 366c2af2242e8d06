import {
  access,
  constants,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rename,
  rm,
  rmdir,
  stat,
} from 'node:fs/promises';
import path from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { sha256Of } from '../media/probe.ts';

export const manifestName = 'manifest.json';

const manifestSchema = z.object({
  schema: z.literal(1),
  files: z.array(z.object({ file: z.string(), sha256: z.string() })),
});

/**
 * The folder a command writes to. Files are made in a folder of their own beside the rest and moved into
 * place together at the end, so that nothing half-written is ever seen; a file that stands there already is
 * replaced only when the manifest says that it was written by this program and it is unchanged since.
 */
export class OutputFolder {
  private constructor(
    private readonly dir: string,
    private readonly staging: string,
    /** Folders that were made for this run, outermost first. */
    private readonly made: readonly string[],
    private readonly before: ReadonlyMap<string, string>,
  ) {}

  /** @param files what the command will write, relative with forward slashes: refused early when one is in the way */
  static async open(dir: string, files: readonly string[]): Promise<OutputFolder> {
    const made = await makeFolders(dir);
    try {
      await access(dir, constants.W_OK);
      const before = await readManifest(dir);
      for (const file of files) await refuseForeign(dir, file, before);
      const staging = await mkdtemp(path.join(dir, '.lockstep-'));
      return new OutputFolder(dir, staging, made, before);
    } catch (error) {
      await removeEmpty(made);
      throw error instanceof Failure ? error : cannotWrite(dir, error);
    }
  }

  /** Where to make a file of this run, on the same disk as its final place. */
  async pathFor(file: string): Promise<string> {
    const target = path.join(this.staging, file);
    await mkdir(path.dirname(target), { recursive: true });
    return target;
  }

  async write(file: string, content: string): Promise<void> {
    try {
      await writeFileAtomic(await this.pathFor(file), content);
    } catch (error) {
      throw cannotWrite(this.dir, error);
    }
  }

  /** Moves everything made into place and writes the manifest. */
  async commit(): Promise<void> {
    const files = await filesUnder(this.staging);
    const written: { file: string; sha256: string }[] = [];
    try {
      for (const file of files) {
        await refuseForeign(this.dir, file, this.before);
        written.push({ file, sha256: await sha256Of(path.join(this.staging, file)) });
      }
      for (const { file } of written) {
        const target = path.join(this.dir, file);
        await mkdir(path.dirname(target), { recursive: true });
        await rename(path.join(this.staging, file), target);
      }
      const kept = [...this.before]
        .filter(([file]) => !files.includes(file))
        .map(([file, sha256]) => ({ file, sha256 }));
      const manifest = { schema: 1, files: [...kept, ...written].sort((a, b) => (a.file < b.file ? -1 : 1)) };
      await writeFileAtomic(path.join(this.dir, manifestName), `${JSON.stringify(manifest, null, 2)}\n`);
    } catch (error) {
      throw error instanceof Failure ? error : cannotWrite(this.dir, error);
    } finally {
      await rm(this.staging, { recursive: true, force: true });
    }
  }

  /** Takes back everything this run made. */
  async discard(): Promise<void> {
    await rm(this.staging, { recursive: true, force: true });
    await removeEmpty(this.made);
  }
}

/** Makes a folder and its parents; the ones that were not there before, outermost first. */
async function makeFolders(dir: string): Promise<string[]> {
  try {
    const first = await mkdir(dir, { recursive: true });
    if (first === undefined) return [];
    const made: string[] = [];
    for (let at = dir; at.length >= first.length; at = path.dirname(at)) made.unshift(at);
    return made;
  } catch (error) {
    throw cannotWrite(dir, error);
  }
}

async function removeEmpty(made: readonly string[]): Promise<void> {
  for (const folder of [...made].reverse()) await rmdir(folder).catch(() => undefined);
}

async function readManifest(dir: string): Promise<Map<string, string>> {
  let text: string;
  try {
    text = await readFile(path.join(dir, manifestName), 'utf8');
  } catch {
    return new Map();
  }
  try {
    return new Map(manifestSchema.parse(JSON.parse(text)).files.map(({ file, sha256 }) => [file, sha256]));
  } catch {
    throw new Failure(
      'usage',
      `${path.join(dir, manifestName)} was not written by Lockstep.`,
      'Choose another folder, or move that file away.',
    );
  }
}

async function refuseForeign(dir: string, file: string, before: ReadonlyMap<string, string>): Promise<void> {
  const target = path.join(dir, file);
  const there = await stat(target).catch(() => null);
  if (!there) return;
  const ours = before.get(file);
  if (there.isFile() && ours !== undefined && ours === (await sha256Of(target))) return;
  throw new Failure(
    'usage',
    `${target} is in the way: ${ours === undefined ? 'Lockstep did not write it' : 'it was changed since Lockstep wrote it'}.`,
    'Choose another folder, or move that file away.',
  );
}

async function filesUnder(dir: string): Promise<string[]> {
  const entries = await readdir(dir, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(dir, path.join(entry.parentPath, entry.name)).split(path.sep).join('/'))
    .sort();
}

function cannotWrite(dir: string, cause: unknown): Failure {
  const code = (cause as NodeJS.ErrnoException | null)?.code;
  const why =
    code === 'ENOSPC'
      ? 'the disk is full'
      : code === 'EACCES' || code === 'EPERM' || code === 'EROFS'
        ? 'writing there is not allowed'
        : code === 'ENOTDIR' || code === 'EEXIST'
          ? 'a file stands where the folder should be'
          : 'it cannot be made or written to';
  return new Failure(
    'usage',
    `The folder ${dir} cannot take the results: ${why}.`,
    'Choose another folder.',
    {
      cause,
    },
  );
}
