import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { captionEvents, fitted, fittedLines } from '../../../electron/media/film-captions.ts';
import { filmJob, retiming } from '../../../electron/media/film-job.ts';
import { filmFrames } from '../../../electron/media/film-frame.ts';
import { layOutPanes, toFilm } from '../../../electron/media/film-layout.ts';
import { inFirstFrame, inFrame, originsOf } from '../../../electron/media/film-origin.ts';
import { pathEvents } from '../../../electron/media/film-paths.ts';
import { realTimes, sideNames, type FilmSide, type FilmSpec } from '../../../electron/media/film-spec.ts';
import { elapsedS, layOutTime, speedAt } from '../../../electron/media/film-timeline.ts';
import { picturesDone } from '../../../electron/media/film.ts';
import { filmShapes } from '../../../shared-lib/contract/hand-back.ts';
import { mapTime } from '../../../shared-lib/pair/time-map.ts';
import { sideOf, specOf } from './film-case.ts';

const courses = {
  reference: { start: 1.5, bottom: 3, lockout: 4 },
  today: { start: 1.2, bottom: 2.2, lockout: 4.2 },
};
const even = (fps: number, s: number): number[] => Array.from({ length: fps * s }, (_, i) => i / fps);

function caseOf(reference: Partial<FilmSide> = {}, today: Partial<FilmSide> = {}): FilmSpec {
  return specOf(
    sideOf('a.mp4', even(30, 6), courses.reference, reference),
    sideOf('b.mp4', even(60, 4.8), courses.today, today),
    courses,
  );
}

type ClipOf<T> = T extends fc.Arbitrary<infer Value> ? Value : never;

const plan = (spec: FilmSpec) => {
  const timeline = layOutTime(spec);
  const origins = originsOf(spec);
  return { timeline, origins, layouts: layOutPanes(spec, origins, timeline.shown) };
};

describe('the film in time', () => {
  it('begins up to a second before the first event and ends a second after lockout', () => {
    const { map, pictures } = layOutTime(caseOf());
    expect(map.outS).toEqual([1, 2.5, 4.5]);
    expect(pictures).toBe(5.5 * 30 + 1);
  });

  it('goes on to the end of the rep where there is no lockout', () => {
    const spec = caseOf({ window: { fromS: 0, toS: 5.5 } }, { window: { fromS: 0, toS: 4.2 } });
    const given = { ...spec, knots: spec.knots.slice(0, 2) };
    // 2.5 s of reference after its drive starts at 3.0 s.
    expect(layOutTime(given).pictures).toBe(Math.floor((1 + 1.5 + 2.5) * 30) + 1);
  });

  it('names the phases and when they begin', () => {
    const { phases } = layOutTime(caseOf());
    expect(phases.map(({ name, fromS }) => [name, fromS])).toEqual([
      ['set-up', 0],
      ['descent', 1],
      ['drive', 2.5],
      ['hold', 4.5],
    ]);
  });

  it('has a pause only where one of the two lasts long enough', () => {
    const spec = caseOf();
    const touch = (beforeS: number) => ({
      ...spec,
      knots: [
        spec.knots[0],
        { event: 'touch', referenceS: 3 - beforeS, todayS: 2.2 - 0.05 },
        ...spec.knots.slice(1),
      ],
    });
    const names = (s: FilmSpec): string[] => layOutTime(s).phases.map(({ name }) => name);
    expect(names(touch(0.5))).toContain('pause');
    expect(names(touch(0.1))).not.toContain('pause');
  });

  it('begins a deadlift with its drive', () => {
    const spec = caseOf();
    const knots = [spec.knots[0], spec.knots[2]];
    expect(layOutTime({ ...spec, lift: 'deadlift', knots }).phases.map(({ name }) => name)).toEqual([
      'set-up',
      'drive',
      'hold',
    ]);
  });

  it('holds the first picture of a clip that begins later and the last of one that ends', () => {
    const spec = caseOf();
    const late = { ...spec, knots: spec.knots.map((k) => ({ ...k, todayS: k.todayS - 1.1 })) };
    const { shown } = layOutTime(late);
    expect(shown.today.slice(0, 27).every((frame) => frame === 0)).toBe(true);
    const { shown: whole } = layOutTime(spec);
    expect(whole.today.at(-1)).toBe(even(60, 4.8).length - 1);
  });

  it('runs at half speed where lifters look, in both reps, and as before everywhere else', () => {
    const spec = caseOf();
    const plain = layOutTime(spec);
    // The bottom lies at 2.5 s of the film, today's lockout at 4.5 s; the reference's slowest point a second after the bottom.
    const timeline = layOutTime({ ...spec, slowed: { reference: [3.5], today: [2.2, 4.2] } });
    expect(timeline.breaths).toEqual([]);
    // Three stretches of 0.6 s take twice as long.
    expect(Math.abs(timeline.pictures - plain.pictures - 1.8 * 30)).toBeLessThanOrEqual(1);
    const speeds = (at: typeof timeline, filmS: number) => sideNames.map((name) => speedAt(at, name, filmS));
    const slow = (filmS: number, before: number): void =>
      speeds(timeline, filmS).forEach((speed, i) =>
        expect(speed).toBeCloseTo(speeds(plain, before)[i] / 2, 6),
      );
    slow(2.3, 2.25);
    slow(3, 2.7);
    speeds(timeline, 3.6).forEach((speed, i) => expect(speed).toBeCloseTo(speeds(plain, 3)[i], 6));
  });

  it('runs a slow-motion clip in real time', () => {
    const slow = sideOf('a.mp4', even(30, 24), courses.reference, {
      calibration: { ...caseOf().reference.calibration, slowMotion: 4 },
    });
    const { shown, map } = layOutTime({ ...caseOf(), reference: slow });
    // Real second 3 is second 12 of the file: frame 360.
    const frame = shown.reference[Math.round(map.outS[1] * 30)];
    expect(Math.abs(frame - 360)).toBeLessThanOrEqual(4);
  });

  it('tells ffmpeg the same times as the map', () => {
    const spec = caseOf();
    const timeline = layOutTime(spec);
    const expression = retiming(spec.today, timeline, 'today');
    fc.assert(
      fc.property(fc.double({ min: -1, max: 9, noNaN: true }), (T) => {
        expect(evaluate(expression, T)).toBeCloseTo(mapTime(timeline.map.todayS, timeline.map.outS, T), 6);
      }),
    );
  });
});

/** The value of a chain of `if(lte(T,a),line,rest)` at T. */
function evaluate(expression: string, T: number): number {
  const branch = /^if\(lte\(T,([^)]+)\),([^,]+),(.*)\)$/.exec(expression);
  if (branch && T > Number(branch[1])) return evaluate(branch[3], T);
  const [, at, from, slope] = /^(.+)\+\(T-\((.+)\)\)\*(.+)$/.exec(branch ? branch[2] : expression)!;
  return Number(at) + (T - Number(from)) * Number(slope);
}

describe('the panes', () => {
  it('show the bar at one scale and its start at one height, whatever the clips', () => {
    const clip = fc.record({
      widthPx: fc.integer({ min: 200, max: 3840 }),
      heightPx: fc.integer({ min: 200, max: 3840 }),
      heightM: fc.double({ min: 0.6, max: 6, noNaN: true }),
      x: fc.double({ min: 0.2, max: 0.8, noNaN: true }),
      y: fc.double({ min: 0.1, max: 0.5, noNaN: true }),
      mirror: fc.boolean(),
    });
    const side = (base: FilmSide, c: ClipOf<typeof clip>): FilmSide => ({
      ...base,
      mirror: c.mirror,
      media: { ...base.media, widthPx: c.widthPx, heightPx: c.heightPx },
      calibration: {
        ...base.calibration,
        metresPerPx: c.heightM / c.heightPx,
        facing: c.mirror ? 'left' : 'right',
      },
      samples: base.samples.map((s, i) => ({
        ...s,
        xPx: c.x * c.widthPx,
        yPx: c.y * c.heightPx - (base.plane.yM[i] * c.heightPx) / c.heightM,
      })),
    });
    const base = caseOf();
    fc.assert(
      fc.property(clip, clip, fc.constantFrom('squat', 'bench', 'deadlift'), (a, b, lift) => {
        const spec = {
          ...base,
          lift,
          reference: side(base.reference, a),
          today: side(base.today, b),
        };
        const { layouts, origins } = plan(spec);
        const heights = sideNames.map((name) => {
          const { metresPerPx } = spec[name].calibration;
          const { xPx, yPx } = origins[name];
          const layout = layouts[name];
          const { pane } = layout;
          const up = toFilm(layout, xPx, yPx - 0.3 / metresPerPx);
          const at = toFilm(layout, xPx, yPx);
          const pxPerM = (at.y - up.y) / 0.3;
          expect(Math.abs(pxPerM / layout.pxPerM - 1)).toBeLessThan(0.02);
          // The whole path lies in the pane.
          const low = toFilm(layout, xPx, yPx + 0.24 / metresPerPx);
          for (const point of [at, low]) {
            expect(point.x).toBeGreaterThan(pane.left);
            expect(point.x).toBeLessThan(pane.left + pane.width);
            expect(point.y).toBeGreaterThan(pane.top);
            expect(point.y).toBeLessThan(pane.top + pane.height);
          }
          // What ffmpeg is asked for is possible and even.
          const { source, scaled, crop, pad } = layout;
          expect(source.x + source.width).toBeLessThanOrEqual(spec[name].media.widthPx);
          expect(source.y + source.height).toBeLessThanOrEqual(spec[name].media.heightPx);
          expect(crop.x + crop.width).toBeLessThanOrEqual(scaled.width);
          expect(crop.y + crop.height).toBeLessThanOrEqual(scaled.height);
          expect(pad.x + crop.width).toBeLessThanOrEqual(pane.width);
          expect(pad.y + crop.height).toBeLessThanOrEqual(pane.height);
          for (const value of [source, scaled, crop, pad].flatMap((each) => Object.values(each))) {
            expect(value % 2).toBe(0);
            expect(value).toBeGreaterThanOrEqual(0);
          }
          return at.y;
        });
        expect(Math.abs(heights[0] - heights[1])).toBeLessThanOrEqual(4);
      }),
    );
  });

  it('mirror a clip about the pane, so that forward is on the same side in both', () => {
    const spec = caseOf({}, { mirror: true });
    const { layouts, origins } = plan(spec);
    const forward = sideNames.map((name) => {
      const sign = spec[name].calibration.facing === 'right' ? 1 : -1;
      const { xPx, yPx } = origins[name];
      return toFilm(layouts[name], xPx + sign * 10, yPx).x - toFilm(layouts[name], xPx, yPx).x;
    });
    expect(forward[0]).toBeGreaterThan(0);
    expect(forward[1]).toBeCloseTo(forward[0], 1);
  });

  it.each(filmShapes)('lie in the %s film, even and apart, with room for their words', (shape) => {
    const { width, height, sides, cue, cautionY } = filmFrames[shape];
    const [a, b] = [sides.reference.pane, sides.today.pane];
    expect(a.left + a.width <= b.left || a.top + a.height <= b.top).toBe(true);
    for (const { pane, titleY, phaseY, doneY } of Object.values(sides)) {
      for (const value of Object.values(pane)) expect(value % 2).toBe(0);
      expect(pane.left + pane.width).toBeLessThanOrEqual(width);
      expect(titleY).toBeLessThan(pane.top);
      expect(phaseY).toBeGreaterThan(pane.top + pane.height);
      expect(doneY).toBeLessThan(cautionY);
    }
    expect([width, height].sort()).toEqual([1080, 1920]);
    expect(cue.left + cue.width).toBeLessThanOrEqual(width);
    // A cue is written under the pictures and over no caution, which is up to three lines of 30 px.
    expect(cue.top).toBeGreaterThanOrEqual(b.top + b.height);
    expect(cue.top + cue.height).toBeLessThan(cautionY - (shape === 'portrait' ? 45 : 15));
  });
});

describe('a cue in the film', () => {
  const cue = { referenceS: 2.5, todayS: 1.2 + 2 / 3, text: 'Chest up as you turn it round, then push your feet through the floor' }; // prettier-ignore
  const spec = { ...caseOf(), moments: [cue] };
  const plain = layOutTime(caseOf());
  const timeline = layOutTime(spec);
  const [breath] = timeline.breaths;

  it('is slowed to half round its moment and held for as long as its words take to read', () => {
    // The moment is 2 s into the film; 0.7 s before it and 0.35 s after it take twice as long.
    expect(breath.fromS).toBeCloseTo(2 + 0.7, 9);
    expect(breath.toS - breath.fromS).toBeCloseTo(1.5 + cue.text.length / 14, 9);
    expect(timeline.pictures).toBe(Math.floor((5.5 + 1.05 + breath.toS - breath.fromS) * 30 + 1e-6) + 1);
    expect(Math.abs(speedAt(timeline, 'reference', breath.fromS - 0.1) - 0.5)).toBeLessThan(0.03);
    expect(speedAt(timeline, 'reference', breath.fromS + 0.1)).toBe(0);
    expect(Math.abs(speedAt(timeline, 'reference', breath.toS + 0.1) - 0.5)).toBeLessThan(0.03);
  });

  it('shows one frame of each rep all the while, that of its moment', () => {
    for (const name of sideNames) {
      const held = timeline.shown[name].filter((_, k) => k / 30 > breath.fromS && k / 30 < breath.toS);
      expect(new Set(held).size).toBe(1);
      const times = realTimes(spec[name]);
      expect(times[held[0]]).toBeLessThanOrEqual(cue[`${name}S`] + 0.001);
      expect(times[held[0] + 1]).toBeGreaterThan(cue[`${name}S`]);
    }
  });

  it('skips no more frames than before and changes no order', () => {
    for (const name of sideNames) {
      const steps = (shown: readonly number[]): number[] =>
        shown.slice(1).map((frame, k) => frame - shown[k]);
      expect(Math.max(...steps(timeline.shown[name]))).toBe(Math.max(...steps(plain.shown[name])));
      expect(Math.min(...steps(timeline.shown[name]))).toBe(0);
      expect(timeline.shown[name][0]).toBe(plain.shown[name][0]);
      expect(plain.shown[name].at(-1)! - timeline.shown[name].at(-1)!).toBeLessThanOrEqual(1);
    }
  });

  it('keeps phases and their times as they were in life', () => {
    expect(timeline.phases.map(({ name }) => name)).toEqual(plain.phases.map(({ name }) => name));
    const lengths = ({ phases }: typeof plain, of: typeof plain) =>
      phases.map((phase) => sideNames.map((name) => elapsedS(of, name, phase, phase.toS)));
    lengths(timeline, timeline).forEach((of, i) =>
      of.forEach((s, k) => expect(s).toBeCloseTo(lengths(plain, plain)[i][k], 1)),
    );
  });

  it('writes its words over the rows of the reps, at the largest size that fits', () => {
    const events = captionEvents(spec, timeline);
    const during = events.filter((e) => e.fromS < breath.toS - 0.05 && e.toS > breath.fromS + 0.05);
    expect(during.filter(({ style }) => style === 'Cue')).toHaveLength(1);
    expect(during.filter(({ style }) => style === 'Phase' || style === 'Detail')).toEqual([]);
    expect(during.find(({ style }) => style === 'Cue')!.text).toMatch(/\\fs64.*Chest up.*\\N/);
  });

  it('is held once for each of two cues of one moment', () => {
    const { breaths } = layOutTime({ ...spec, moments: [cue, { ...cue, text: 'Breathe' }] });
    expect(breaths.map(({ text }) => text)).toEqual([cue.text, 'Breathe']);
    expect(breaths[1].fromS).toBeCloseTo(breaths[0].toS, 9);
    expect(breaths[1].toS - breaths[1].fromS).toBe(2.5);
  });

  it('fits any words into its box, in lines no wider than it, cut only at the smallest size', () => {
    const width = (line: string): number =>
      [...line].reduce((s, c) => s + (/\p{Lu}/u.test(c) ? 0.72 : 0.56), 0);
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom('a', 'B', ' ', 'e', 'n'), maxLength: 300 }), (text) => {
        const { sizePx, lines } = fittedLines(text, 1020, 130);
        expect(lines.length * sizePx * 1.12).toBeLessThanOrEqual(131);
        for (const line of lines) expect(width(line) * sizePx).toBeLessThanOrEqual(1020 + 0.6 * sizePx);
        const whole = lines.join('').replaceAll(/\s/g, '');
        if (sizePx > 34) expect(whole).toBe(text.replaceAll(/\s/g, ''));
      }),
    ); // prettier-ignore
  });
});

describe('the paths', () => {
  it('put the camera motion of a frame back exactly', () => {
    const spec = caseOf();
    const camera = { scale: 1.02, rotationRad: 0.03, txPx: 14, tyPx: -9 };
    const side = { ...spec.today, samples: spec.today.samples.map((s) => ({ ...s, camera })) };
    const back = inFrame(side, 7, inFirstFrame(side, 7));
    expect(back.xPx).toBeCloseTo(side.samples[7].xPx, 9);
    expect(back.yPx).toBeCloseTo(side.samples[7].yPx, 9);
  });

  it('lay the other rep faint over the own one where both moved alike', () => {
    const spec = caseOf({}, { mirror: true });
    const { timeline, layouts, origins } = plan(spec);
    const events = pathEvents(spec, timeline, layouts, origins);
    // The lowest point of the faint path and of the own one, in eighths of a pixel, at the film's end.
    for (const name of sideNames) {
      const { left } = layouts[name].pane;
      const last = events.filter(
        (e) =>
          e.toS * 30 > timeline.pictures - 1.5 &&
          e.text.includes(`\\clip(${left},`) &&
          e.text.includes('\\bord'),
      );
      const lowest = (text: string): { x: number; y: number } => {
        const numbers = text.split('}')[1].match(/-?\d+/g)!.map(Number);
        const points = numbers.flatMap((x, i) => (i % 2 === 0 ? [{ x, y: numbers[i + 1] }] : []));
        return points.reduce((a, b) => (b.y > a.y ? b : a));
      };
      const faint = lowest(last.find((e) => e.layer === 1)!.text);
      const own = lowest(last.find((e) => e.layer === 5)!.text);
      expect(Math.abs(faint.x - own.x) / 8).toBeLessThan(6);
      expect(Math.abs(faint.y - own.y) / 8).toBeLessThan(6);
    }
  });

  it('break where the bar was lost and draw no marker there', () => {
    const spec = caseOf();
    const gone = (i: number): boolean => i >= 60 && i < 75;
    const samples = spec.reference.samples.map((s, i) =>
      gone(i) ? { ...s, xPx: NaN, yPx: NaN, state: 'lost' as const } : s,
    );
    const lost = { ...spec, reference: { ...spec.reference, samples } };
    const { timeline, layouts, origins } = plan(lost);
    const events = pathEvents(lost, timeline, layouts, origins);
    expect(events.every(({ text }) => !text.includes('NaN'))).toBe(true);
    const picture = timeline.shown.reference.indexOf(66);
    const during = events.filter(
      (e) => e.text.includes('\\clip(0,') && e.fromS <= picture / 30 && e.toS > picture / 30,
    );
    expect(during.some(({ layer }) => layer === 3)).toBe(true);
    expect(during.some(({ layer }) => layer === 7)).toBe(false);
  });
});

describe('the words', () => {
  const words = (spec: FilmSpec, atS: number): string[] => {
    return captionEvents(spec, layOutTime(spec))
      .filter((e) => e.style !== 'Drawing' && e.fromS <= atS + 1e-9 && e.toS > atS + 1e-9)
      .map((e) => e.text.replace(/\{[^}]*\}/g, ''));
  };

  it('say the phase, each rep its own time in it, and how a rep is stretched', () => {
    const spec = caseOf();
    // At 1.9 s 0.9 s of descent are over: reference as in life, today two thirds of it.
    expect(words(spec, 1.9)).toEqual([
      'Path and speed change with load.',
      'Reference · 90 kg',
      'Descent   0.9 s',
      'Today · 107.5 kg',
      'Descent   0.6 s',
      'slowed to keep step',
    ]);
    expect(words(spec, 4.6)).toContain('Descent 1.5 s  ·  Drive 1.0 s');
    expect(words(spec, 4.6)).toContain('Descent 1.0 s  ·  Drive 2.0 s');
    expect(words(spec, 0)).toContain('Set-up');
  });

  it('stop counting where a clip has ended', () => {
    const last = words(caseOf(), 5.4);
    expect(last).toContain('clip has ended');
    expect(last).toContain('Hold   0.9 s');
    expect(last).toContain('Hold   0.6 s');
  });

  it('shrink a long title and cut one that is longer still', () => {
    expect(fitted('Today · 107.5 kg', 800)).toEqual({ sizePx: 46, text: 'Today · 107.5 kg' });
    const long = 'Reference · 90 kg · last month, second set';
    expect(fitted(long, 800)).toMatchObject({ text: long });
    expect(fitted(long, 800).sizePx).toBeLessThan(46);
    const cut = fitted('力'.repeat(60), 800);
    expect(cut.sizePx).toBe(32);
    expect(cut.text).toMatch(/^力+…$/);
    expect([...cut.text].length).toBeLessThanOrEqual(25);
  });
});

describe('the job', () => {
  it('opens two local files as videos and writes one that carries nothing of their tags', () => {
    const spec = caseOf({ media: { widthPx: 256, heightPx: 144, pixelAspect: 2, transfer: 'arib-std-b67' } });
    const { timeline, layouts } = plan(spec);
    const files = { script: 's.ass', fonts: 'f', output: 'o.mp4' };
    const job = filmJob(spec, timeline, layouts, files, 'ffmpeg', new Set(['zscale', 'tonemap']));
    expect(job.inputs).toHaveLength(2);
    for (const { options, source } of job.inputs) {
      expect(source).toMatch(/^file:/);
      expect(options).toContain('-protocol_whitelist');
      expect(options).toContain('-format_whitelist');
    }
    const graph = job.options[job.options.indexOf('-filter_complex') + 1];
    const [reference, today] = graph.split(';');
    expect(reference).toContain('scale=256:144');
    expect(reference).toContain('tonemap');
    expect(today).not.toContain('tonemap');
    expect(job.options.join(' ')).toContain('-map_metadata -1');
    expect(job.options.join(' ')).toContain('-movflags +faststart');
  });

  it('reads how many pictures are done', () => {
    const lines = ['frame=42', 'fps=24.1', 'frame=  7', 'progress=end', 'frame= 12 fps=3'];
    expect(lines.map(picturesDone)).toEqual([42, null, 7, null, null]);
  });
});
