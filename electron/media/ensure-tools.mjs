/**
 * Run before the program and before the tests: sees that ffmpeg is there (with --browser a Chromium, too), and
 * installs what is missing where that is one command that needs no question: on Debian and Ubuntu, as root.
 * Anywhere else it says what to install; with --start a missing ffmpeg ends it with status 3. Plain
 * JavaScript without packages, so that it runs in a fresh checkout. Standard output stays empty.
 */
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';

const isRunnable = (program) =>
  Boolean(program) && spawnSync(program, ['-version'], { stdio: 'ignore' }).status === 0;

/** Path of the binary that the optional package carries; null without it. */
function packagedFfmpeg() {
  try {
    return createRequire(import.meta.url)('ffmpeg-static');
  } catch {
    return null;
  }
}

// The order is find-ffmpeg.ts's.
const hasFfmpeg = () =>
  process.env.LOCKSTEP_FFMPEG
    ? isRunnable(process.env.LOCKSTEP_FFMPEG)
    : isRunnable(packagedFfmpeg()) || isRunnable('ffmpeg');
const hasBrowser = () => ['chromium', 'chromium-browser', 'google-chrome', 'chrome'].some(isRunnable);

/** Whether the package is there afterwards. */
function install(packageName) {
  if (process.platform !== 'linux' || process.getuid() !== 0) return false;
  const apt = (...args) =>
    spawnSync('apt-get', args, {
      stdio: ['ignore', 2, 2],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    }).status === 0;
  if (spawnSync('apt-get', ['--version'], { stdio: 'ignore' }).status !== 0) return false;
  console.error(`Installing ${packageName} (apt-get install ${packageName}) ...`);
  return apt('-qq', 'update') && apt('-qq', 'install', '-y', '--no-install-recommends', packageName);
}

/** Makes sure of one tool and says what to do where it stays missing. */
function ensure(has, packageName, purpose, elsewhere, mayInstall = true) {
  if (has() || (mayInstall && install(packageName) && has())) return true;
  console.error(`${packageName} is missing, and ${purpose}. Install it: ${elsewhere}.`);
  return false;
}

const ffmpegIsThere = ensure(
  hasFfmpeg,
  'ffmpeg',
  'without it no clip can be read',
  'apt-get install ffmpeg (Debian, Ubuntu), brew install ffmpeg (macOS), winget install ffmpeg (Windows), 5.1 or later; or set LOCKSTEP_FFMPEG to its path',
  // A path that was set goes before every other: nothing that is installed would be used.
  !process.env.LOCKSTEP_FFMPEG,
);
if (process.argv.includes('--browser')) {
  ensure(
    hasBrowser,
    'chromium',
    'without it the screens cannot be tested',
    'apt-get install chromium (Debian, Ubuntu), or any Chrome on the search path',
  );
}
if (!ffmpegIsThere && process.argv.includes('--start')) process.exit(3);
