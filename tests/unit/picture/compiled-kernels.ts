import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const root = fileURLToPath(new URL('../../..', import.meta.url));

let compiling: Promise<unknown> | null = null;

/** What kernels/ exports, compiled by the very command that the build runs. */
export const compiledKernels = (): Promise<unknown> => (compiling ??= compile());

async function compile(): Promise<unknown> {
  const { scripts } = createRequire(import.meta.url)(path.join(root, 'package.json')) as {
    scripts: Record<string, string>;
  };
  const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-kernels-'));
  try {
    const outFile = path.join(folder, 'kernels.wasm');
    const [, ...args] = scripts['build:kernels'].replace('dist/kernels.wasm', outFile).split(' ');
    // As a program: the types of the compiler's module change those of every array.
    const compiler = path.join(root, 'node_modules/assemblyscript/bin/asc.js');
    await promisify(execFile)(process.execPath, [compiler, ...args, '--baseDir', root], { cwd: root });
    const code = new WebAssembly.Module(await readFile(outFile));
    return new WebAssembly.Instance(code, { engine: Math }).exports;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
