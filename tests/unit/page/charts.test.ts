import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barAt, samplesWithin } from '../../../shared-lib/page/charts/bar-path.ts';
import { equalAspect } from '../../../shared-lib/page/charts/equal-aspect.ts';
import { intervalStrip, stripScale } from '../../../shared-lib/page/charts/interval-strip.ts';
import { spread } from '../../../shared-lib/page/charts/labels.ts';
import { pathChart, pathScales } from '../../../shared-lib/page/charts/path-chart.ts';
import { phaseRow } from '../../../shared-lib/page/charts/phase-row.ts';
import { still } from '../../../shared-lib/page/charts/still.ts';
import { shownSpan, velocityChart, velocityScales } from '../../../shared-lib/page/charts/velocity-chart.ts';
import type { PageRep } from '../../../shared-lib/page/page-input.ts';
import { directionWords } from '../../../shared-lib/pair/sentences.ts';
import { benchPressPage, onePixelJpeg } from './fixture.ts';

const page = benchPressPage();
const chart = {
  reference: page.reference,
  today: page.today,
  bands: [],
  directions: directionWords('bench'),
  forward: 1 as const,
};
const described = { id: 'c', title: 'Title', finding: 'Finding.' };

/** Centres of the markers of one rep, in the order drawn. */
const markers = (text: string, which: string) =>
  [...text.matchAll(/<circle cx="([-\d.]+)" cy="([-\d.]+)" r="4.5" class="marker (\w+)"/g)]
    .filter((m) => m[3] === which)
    .map((m) => [Number(m[1]), Number(m[2])]);

describe('the bar at a time', () => {
  const path = { tS: [1, 2, 3], xM: [0, 0.1, NaN], yM: [0, -0.2, NaN], vyMps: [0, -0.2, NaN] };
  it('lies between samples on a straight line', () => {
    expect(barAt(path, 1.25)).toEqual({ xM: 0.025, yM: -0.05, vyMps: -0.05 });
  });
  it('is there at a sample next to a lost one, and not beyond', () => {
    expect(barAt(path, 1)).toEqual({ xM: 0, yM: 0, vyMps: 0 });
    expect(barAt(path, 2)).toEqual({ xM: 0.1, yM: -0.2, vyMps: -0.2 });
    for (const t of [0.9, 2.5, 3.1, NaN]) expect(barAt(path, t)).toBeNull();
  });
  it('is nowhere on an empty path', () => {
    expect(barAt({ tS: [], xM: [], yM: [], vyMps: [] }, 0)).toBeNull();
  });
  it('takes the samples of a stretch with both its ends', () => {
    expect(samplesWithin(path, 1, 2)).toEqual([0, 1]);
  });
});

describe('equal aspect', () => {
  const box = { leftPx: 40, topPx: 10, widthPx: 200, heightPx: 400 };
  it('makes a centimetre across as long as one up, whichever way forward runs', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 0.6, noNaN: true }),
        fc.double({ min: 0.05, max: 0.8, noNaN: true }),
        fc.constantFrom(1 as const, -1 as const),
        (wide, high, forward) => {
          const s = equalAspect([-wide / 2, wide / 2], [-high, 0], box, forward);
          const [across, up] = [(s.x(0.01) - s.x(0)) * forward, s.y(0) - s.y(0.01)];
          expect(across).toBeCloseTo(up, 6);
          expect(s.heightPx).toBeLessThanOrEqual(400 + 1e-6);
          for (const x of [-wide / 2, wide / 2]) {
            expect(s.x(x)).toBeGreaterThanOrEqual(40 - 1e-6);
            expect(s.x(x)).toBeLessThanOrEqual(240 + 1e-6);
          }
        },
      ),
    );
  });
  it('puts known points at known pixels', () => {
    const s = equalAspect([-0.1, 0.1], [-0.4, 0], box, 1);
    expect(s.pxPerM).toBe(1000);
    expect([s.x(0), s.y(0)]).toEqual([140, 10]);
    expect(s.x(0.05)).toBeCloseTo(190, 9);
    expect(s.y(-0.4)).toBeCloseTo(410, 9);
    expect(equalAspect([-0.1, 0.1], [-0.4, 0], box, -1).x(0.05)).toBeCloseTo(90, 9);
  });
});

describe('the path chart', () => {
  it('draws the touch of each rep where its scales put it', () => {
    const s = pathScales(chart);
    const text = pathChart(chart, described).text;
    for (const [which, x, y] of [
      ['reference', 0.071, -0.382],
      ['today', 0.098, -0.379],
    ] as const) {
      const touch = markers(text, which)[1];
      expect(touch[0]).toBeCloseTo(s.x(x), 1);
      expect(touch[1]).toBeCloseTo(s.y(y), 1);
    }
  });

  it('turns round with the lifter, and its direction words with it', () => {
    const right = pathChart(chart, described).text;
    const left = pathChart({ ...chart, forward: -1 }, described).text;
    const run = (text: string) => markers(text, 'today')[1][0] - markers(text, 'today')[0][0];
    expect(run(right)).toBeGreaterThan(40);
    expect(run(left)).toBeCloseTo(-run(right), 0);
    expect(right).toContain('← toward the head');
    expect(left).toContain('← toward the feet');
  });

  it('tells the reps apart by class, which carries line and marker, and names events once', () => {
    const text = pathChart(chart, described).text;
    expect(text.match(/class="line reference (up|down)"/g)).toHaveLength(2);
    expect(text.match(/class="line today (up|down)"/g)).toHaveLength(2);
    for (const name of ['start', 'touch', 'drive start', 'slowest point', 'lockout']) {
      expect(text.split(`>${name}</text>`)).toHaveLength(2);
    }
  });

  it('shows no sign on the horizontal axis', () => {
    const labels = [...pathChart(chart, described).text.matchAll(/class="middle">([^<]+)</g)].map(
      (m) => m[1],
    );
    expect(labels.length).toBeGreaterThan(3);
    for (const text of labels) expect(text).not.toMatch(/[−-]\d/);
  });

  it('breaks the line where the bar was lost', () => {
    const { path } = page.reference;
    const blank = (v: readonly number[]) => v.map((n, i) => (i > 250 && i < 260 ? NaN : n));
    const lost = { ...page.reference, path: { ...path, xM: blank(path.xM), yM: blank(path.yM) } };
    const drawn = pathChart({ ...chart, reference: lost }, described).text;
    const moves = (text: string) =>
      text.match(/<path d="(M[^"]*)" class="line reference up"/)?.[1].match(/M/g);
    expect(moves(drawn)).toHaveLength(2);
    expect(drawn).not.toContain('NaN');
  });

  it('draws a band as wide as it is', () => {
    const band = { yM: [-0.3, -0.1], loXM: [-0.02, -0.02], hiXM: [0.03, 0.03] };
    const s = pathScales(chart);
    const d =
      pathChart({ ...chart, bands: [band] }, described).text.match(/d="([^"]+)" class="band"/)?.[1] ?? '';
    const xs = [...d.matchAll(/[ML]([-\d.]+),/g)].map((m) => Number(m[1]));
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(0.05 * s.pxPerM, 1);
  });
});

describe('labels in a column', () => {
  it('stay where they want to stand when there is room', () => {
    expect(spread([{ yPx: 90, heightPx: 10 }, { yPx: 20, heightPx: 10 }], 0, 100)).toEqual([90, 20]); // prettier-ignore
  });
  it('never overlap and stay inside when they fit', () => {
    const label = fc.record({ yPx: fc.integer({ min: -50, max: 450 }), heightPx: fc.constant(20) });
    fc.assert(
      fc.property(fc.array(label, { maxLength: 12 }), (labels) => {
        const ys = spread(labels, 0, 400).sort((a, b) => a - b);
        ys.forEach((y, i) => {
          expect(y).toBeGreaterThanOrEqual(10);
          expect(y).toBeLessThanOrEqual(390);
          if (i > 0) expect(y - ys[i - 1]).toBeGreaterThanOrEqual(20);
        });
      }),
    );
  });
});

describe('the velocity chart', () => {
  it('lines both reps up where the drive starts and holds both from start to lockout', () => {
    const [from, to] = shownSpan([page.reference, page.today]);
    expect(from).toBeCloseTo(-(1.72 + 0.62) - 0.5, 9);
    expect(to).toBeCloseTo(2.06 + 0.5, 9);
    const { t, v } = velocityScales(page, 360);
    const text = velocityChart(page, described, 360).text;
    const zero = [t(0), v(0)].map((px) => Math.round(px * 100) / 100);
    const starts = [
      ...text.matchAll(/<circle cx="([-\d.]+)" cy="([-\d.]+)" r="4" class="marker (\w+)"/g),
    ].filter((m) => Math.abs(Number(m[1]) - zero[0]) < 0.02);
    expect(starts.map((m) => m[3])).toEqual(['reference', 'today']);
    // The bar is at rest at drive start: within 3 cm/s of the zero line.
    for (const m of starts) expect(Math.abs(v.invert(Number(m[2])))).toBeLessThan(0.03);
  });

  it('copes with a rep that has neither phases nor samples', () => {
    const empty: PageRep = {
      ...page.today,
      path: { tS: [], xM: [], yM: [], vyMps: [] },
      phases: [],
      events: [],
    };
    for (const text of [
      velocityChart({ reference: page.reference, today: empty }, described, 360).text,
      pathChart({ ...chart, today: empty }, described).text,
      pathChart({ ...chart, reference: empty, today: empty }, described).text,
    ]) {
      expect(text).not.toMatch(/NaN|Infinity|undefined/);
    }
  });
});

describe('the rows of phases', () => {
  it('gives each phase a block from its beginning to its end', () => {
    const { t } = velocityScales(page, 860);
    const text = phaseRow(page.reference, 'reference', t, 1.4 + 1.72 + 0.62, 0).text;
    const blocks = [
      ...text.matchAll(/<rect x="([\d.]+)" y="\d+" width="([\d.]+)" .*?class="block ([\w-]+)"/g),
    ];
    expect(blocks.map((b) => b[3])).toEqual(['set-up', 'descent', 'pause', 'drive', 'hold']);
    const [, x, width] = blocks[3].map(Number);
    expect(x).toBeCloseTo(t(0) + 0.5, 1);
    expect(width).toBeCloseTo(t(1.48) - t(0) - 1, 1);
    expect(text).toContain('>pause</text>');
  });

  it('shortens a word where the block is short, and leaves it out where nothing fits', () => {
    const narrow = (px: number) => velocityChart(page, described, px).text;
    expect(narrow(360)).toContain('>p</text>');
    expect(narrow(360)).not.toContain('>pause</text>');
    expect(narrow(130)).not.toContain('>p</text>');
  });
});

describe('the interval strip', () => {
  const strip = {
    change: 0.027,
    lo95: 0.018,
    hi95: 0.036,
    delta: 0.02,
    ends: ['toward the head', 'toward the feet'] as const,
    forward: 1 as const,
  };
  it('has no change in the middle and everything inside', () => {
    const x = stripScale(strip);
    expect(x(0)).toBe(120);
    for (const value of [0.036, -0.036, 0.02]) {
      expect(x(value)).toBeGreaterThan(6);
      expect(x(value)).toBeLessThan(234);
    }
    const d = intervalStrip(strip, described).text.match(/d="M([\d.]+),14h([\d.]+)[^"]*" class="interval"/);
    expect(Number(d?.[1])).toBeCloseTo(x(0.018), 1);
    expect(Number(d?.[2])).toBeCloseTo(x(0.036) - x(0.018), 1);
  });
  it('turns round with the lifter', () => {
    const turned = intervalStrip({ ...strip, forward: -1 }, described).text;
    expect(turned.indexOf('toward the feet')).toBeLessThan(turned.indexOf('toward the head'));
    expect(stripScale({ ...strip, forward: -1 })(0.02)).toBeLessThan(120);
  });
  it('survives a change of nothing with no uncertainty', () => {
    const nothing = { ...strip, change: 0, lo95: 0, hi95: 0, delta: null };
    expect(intervalStrip(nothing, described).text).not.toMatch(/NaN|class="zone"/);
  });
});

describe('a still', () => {
  const base = { which: 'today' as const, widthPx: 100, heightPx: 50, path: [[10, 20], [30, 25]] as const, jpeg: onePixelJpeg }; // prettier-ignore
  it('lays the bar’s way over the picture with a casing under it and the bar at its end', () => {
    const text = still(base, described).text;
    expect(text).toContain(`href="data:image/jpeg;base64,${onePixelJpeg}"`);
    expect(text.indexOf('casing')).toBeLessThan(text.indexOf('line today'));
    expect(text.match(/d="M10,20L30,25"/g)).toHaveLength(2);
    expect(text).toMatch(/<circle cx="30" cy="25" r="[\d.]+" class="marker today"/);
  });
  it('takes no picture that is not base64', () => {
    expect(still({ ...base, jpeg: 'x" onload="alert(1)' }, described).text).not.toContain('<image');
  });
  it('draws no line where there is no way yet', () => {
    expect(still({ ...base, path: [] }, described).text).not.toMatch(/casing|marker/);
  });
});
