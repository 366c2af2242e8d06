import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { withNames } from '../../../electron/desk/by-name.ts';
import { Switchboard, type Handlers } from '../../../electron/desk/switchboard.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';

const [known, unknown] = ['a'.repeat(64), '0123456789abcdef'.repeat(4)];
const folder = path.join(path.sep, 'home', 'a coach', 'kept', 'clips');
const clips = {
  folder: () => folder,
  nameOf: (sha256: string) => Promise.resolve(sha256 === known ? 'Tuesday’s single.mov' : null),
};

describe('clips in sentences', () => {
  it.each([
    [`${known}.mov is cut short.`, 'Tuesday’s single.mov is cut short.'],
    [
      `${folder}${path.sep}${known}.mov is not there any more.`,
      'Tuesday’s single.mov is not there any more.',
    ],
    [`No bar was found in ${known}.`, 'No bar was found in Tuesday’s single.mov.'],
    [`${unknown}.mp4 and ${known}.mov differ.`, 'the clip and Tuesday’s single.mov differ.'],
    ['heavy.mp4 is cut short.', 'heavy.mp4 is cut short.'],
  ])('go by their own names: %s', async (said, shown) => {
    expect(await withNames(said, clips)).toBe(shown);
  });

  it.each([
    new Failure('unusableFile', `${known}.mov is damaged.`, `Copy ${known}.mov again.`),
    new Error(`ffmpeg ended on ${folder}${path.sep}${known}.mov`),
  ])('do so in whatever a command answers: %s', async (error) => {
    const log = { write: () => undefined, shapeOf: () => ({}) } as never;
    const board = new Switchboard(
      { listReviews: () => Promise.reject(error) } as unknown as Handlers,
      log,
      (words) => withNames(words, clips),
    );
    const answer = await board.answer({ command: 'listReviews', job: 'one', input: {} });
    expect(JSON.stringify(answer)).toContain('Tuesday’s single.mov');
    expect(JSON.stringify(answer)).not.toMatch(/[0-9a-f]{64}|clips/);
  });
});
