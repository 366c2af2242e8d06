import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';

/** What ffmpeg and ffprobe say of a file that cannot be read, and what that means to the user. */
const reasons: { said: RegExp; what: string; advice: string }[] = [
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
