import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { clipLimits } from './limits.ts';
import { ChildError } from './process.ts';

/** What ffmpeg and ffprobe say of a file that cannot be read, and what that means to the user. */
const reasons: { said: RegExp; what: string; advice: string }[] = [
  {
    said: /not on whitelist '[^']*h264/,
    what: 'is coded in a way that Lockstep does not read',
    advice: 'Export it as H.264 MP4.',
  },
  {
    said: /max_streams parameter/,
    what: `holds more than ${clipLimits.streams} streams`,
    advice: 'Export the picture alone as MP4.',
  },
  {
    said: /exceeds specified max pixel count|Picture size \d+x\d+ is invalid/,
    what: 'says that its pictures are larger than Lockstep takes on',
    advice: 'Export it at 8K (7680 x 4320) or smaller, and bring that in.',
  },
  {
    said: /moov atom not found/,
    what: 'is cut short: the part that says where its pictures are is missing',
    advice: 'Copy or download the clip from the phone again; the recording may not have been finished.',
  },
  {
    said: /Format not on whitelist|Invalid data found when processing input|EBML header parsing failed/,
    what: 'is not a video that can be read',
    advice: 'Bring in an MP4, MOV, MKV, WebM or AVI file.',
  },
  {
    said: /matches no streams|does not contain any stream/,
    what: 'has no video in it',
    advice: 'Bring in the video itself, not its sound.',
  },
  {
    said: /Decoder .*not found|no decoder|Unknown decoder|unknown codec|could not find codec parameters/i,
    what: 'is coded in a way that this ffmpeg cannot decode',
    advice: 'Export it as H.264 MP4, or install a newer ffmpeg.',
  },
  {
    said: /Unrecognized option 'fps_mode'/,
    what: 'needs ffmpeg 5.1 or later, and an older one was found',
    advice: 'Install a newer ffmpeg, or set LOCKSTEP_FFMPEG to the path of one.',
  },
  {
    said: /Permission denied/,
    what: 'may not be read',
    advice: 'Give yourself read permission for it, or copy it to a folder of your own.',
  },
];

/** The Failure that says why a file cannot be used, from the last lines a program wrote about it. */
export function explainUnusable(file: string, lines: readonly string[]): Failure {
  const reason = reasons.find(({ said }) => lines.some((line) => said.test(line)));
  const { what, advice } = reason ?? {
    what: 'cannot be read as a video',
    advice: 'Try to export it again as MP4.',
  };
  const cause = new Error(lines.slice(-3).join('\n'));
  return new Failure('unusableFile', `${path.basename(file)} ${what}.`, advice, { cause });
}

/** How a program ends that a damaged file has broken. */
const crashes: readonly (string | null)[] = [
  ...['SIGSEGV', 'SIGABRT', 'SIGBUS', 'SIGFPE', 'SIGILL', 'SIGSYS', 'SIGTRAP', 'SIGXCPU', 'SIGXFSZ'],
];

/** What a failed program means for the file that it read, as a Failure; any other error as it is. */
export function explainError(file: string, error: unknown): unknown {
  if (!(error instanceof ChildError)) return error;
  const name = path.basename(file);
  if (error.overran) {
    return new Failure(
      'unusableFile',
      `${name} takes ffmpeg longer, or more, than any clip should.`,
      'It may be damaged: copy it from the phone again, or export it anew as MP4.',
      { cause: error },
    );
  }
  if (crashes.includes(error.killSignal)) {
    return new Failure(
      'unusableFile',
      `${name} is damaged in a way that breaks ffmpeg.`,
      'Copy it from the phone again, or export it anew as MP4.',
      { cause: error },
    );
  }
  return error.exitCode === null ? error : explainUnusable(file, error.lastLines);
}
