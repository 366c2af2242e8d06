import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inputArguments } from '../../../electron/media/arguments.ts';
import { assScript, filterPath } from '../../../electron/media/ass.ts';
import { captionEvents, styles } from '../../../electron/media/film-captions.ts';
import { clipInput } from '../../../electron/media/clip-input.ts';
import { argumentsOf } from '../../../electron/media/ffmpeg-job.ts';
import { limitedCommand } from '../../../electron/media/limited-command.ts';
import type { FilmSpec } from '../../../electron/media/film-spec.ts';
import { layOutTime } from '../../../electron/media/film-timeline.ts';
import { hostileText } from '../../hostile-text.ts';
import { sideOf, specOf } from './film-case.ts';

const even = (fps: number, s: number): number[] => Array.from({ length: fps * s }, (_, i) => i / fps);
const course = { start: 1.2, bottom: 2.2, lockout: 3.2 };
const clip = sideOf('a.mp4', even(10, 4.5), course);

const filmWith = (text: string): FilmSpec => {
  const spec = specOf(clip, clip, { reference: course, today: course });
  return {
    ...spec,
    reference: { ...spec.reference, title: text },
    today: { ...spec.today, title: text },
    moments: [{ referenceS: 2.2, todayS: 2.2, text }],
    caution: text,
  };
};

/** What libass takes as its own in a text, sizes left out, which follow from how long a text is. */
const meantForLibass = (text: string): string[] =>
  [...text.matchAll(/(?<!\\)\{[^}]*\}|\\[Nnh]/g)].map(([tag]) => tag.replace(/\\fs[\d.]+/g, '\\fs'));

/** Takes one level of escapes away, as ffmpeg does for a filter graph and once more for a filter's own options. */
const unescaped = (text: string): string => text.replace(/\\(.)/gsu, '$1');

describe('text from outside in the film', () => {
  it('adds no tag, no line and no event to the captions', () => {
    fc.assert(
      fc.property(hostileText(4), (outside) => {
        const events = (text: string) => {
          const spec = filmWith(text);
          return captionEvents(spec, layOutTime(spec)).filter(({ style }) => style !== 'Drawing');
        };
        const [hostile, plain] = [events(`a${outside}`), events('a')];
        // Words of a cue are broken into lines by us, each an event of its own or a break of ours.
        const kinds = (list: typeof hostile) => new Set(list.flatMap(({ text }) => meantForLibass(text)));
        const ofPlain = kinds(plain);
        for (const tag of kinds(hostile)) expect(ofPlain.has(tag) || tag === '\\N', tag).toBe(true);
        const script = assScript({ width: 1920, height: 1080 }, styles, hostile);
        expect(
          script.split(/\r\n|[\r\n\u2028\u2029\u0085]/).filter((line) => line.startsWith('Dialogue:')),
        ).toHaveLength(hostile.length);
      }),
      { numRuns: 40 },
    );
  });

  it('is one path to a filter, whatever its name: nothing ends it, and it comes out as it was', () => {
    fc.assert(
      fc.property(hostileText(), (name) => {
        const escaped = filterPath(name, 'linux');
        // No sign of the graph's stands without its escape.
        expect(escaped.replace(/\\./gsu, '')).not.toMatch(/[[\],;']/);
        const forFilter = unescaped(escaped);
        expect(forFilter.replace(/\\./gsu, '')).not.toMatch(/[:']/);
        expect(unescaped(forFilter)).toBe(name);
      }),
    );
  });

  it('is one argument of ffmpeg, a file and nothing else, and no word of a shell', () => {
    fc.assert(
      fc.property(hostileText(), (name) => {
        const args = inputArguments(name);
        expect(args).toHaveLength(inputArguments('a.mp4').length);
        expect(args.at(-1)).toBe(`file:${path.resolve(name)}`);
        const { args: limited } = limitedCommand('ffmpeg', args, { addressBytes: 1, fileBytes: 1 }, 'linux');
        expect(limited.slice(-args.length)).toEqual(args);
        expect(limited[1]).toBe(limitedCommand('x', [], { addressBytes: 1, fileBytes: 1 }, 'linux').args[1]);
      }),
    );
  });

  it('goes to ffmpeg as it is', () => {
    fc.assert(
      fc.property(hostileText(), (name) => {
        const [input, output] = [clipInput(name, 2), `/${name}`];
        const args = argumentsOf({ inputs: [input], options: ['-f', 'mp4'], output });
        expect(args).toContain(`file:${path.resolve(name)}`);
        expect(args.at(-1)).toBe(output);
      }),
    );
  });
});
