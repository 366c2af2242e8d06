/* Holds up the making of an installer whose program could read no clip. */
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);
/** Path of the binary that a package carries for this system; null where it has none. */
const carried = (load) => {
  try {
    const file = load();
    return existsSync(file) ? file : null;
  } catch {
    return null;
  }
};
const programs = {
  ffmpeg: carried(() => require('ffmpeg-static')),
  ffprobe: carried(() => require('@ffprobe-installer/ffprobe').path),
};
const missing = Object.keys(programs).filter((name) => programs[name] === null);
if (missing.length > 0 && !process.argv.includes('--without')) {
  process.stderr.write(
    `The installer would lack ${missing.join(' and ')}, which its program needs.\n` +
      'Run npm ci where the packages ffmpeg-static and @ffprobe-installer may fetch their programs, then pack again.\n',
  );
  process.exitCode = 1;
}
