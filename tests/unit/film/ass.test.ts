import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assColour, assScript, assTime, escapeText, filterPath } from '../../../electron/media/ass.ts';
import { circle, dashes, fillText, strokes, strokeText } from '../../../electron/media/ass-drawing.ts';
import { findFfmpeg } from '../../../electron/media/find-ffmpeg.ts';

const size = { width: 320, height: 180 };
const style = { name: 'Plain', sizePx: 30, colour: '#FFFFFF' };

/** Draws texts on black; the luma of the picture at a time. */
function draw(texts: readonly string[], folderName = 'plain', atS = 0): Buffer {
  const root = mkdtempSync(path.join(tmpdir(), 'ass-'));
  try {
    const folder = path.join(root, folderName);
    mkdirSync(folder, { recursive: true });
    const script = path.join(folder, 'x.ass');
    const events = texts.map((text) => ({ layer: 0, fromS: 0, toS: 0.5, style: 'Plain', text }));
    writeFileSync(script, assScript(size, [style], events));
    const filter = `ass=filename=${filterPath(script)}:fontsdir=${filterPath(folder)},extractplanes=y`;
    const source = `color=black:s=${size.width}x${size.height}:r=30,format=yuv420p`;
    return execFileSync(findFfmpeg(), [
      ...['-v', 'error', '-f', 'lavfi', '-i', source, '-filter_complex', filter],
      ...['-ss', String(atS), '-frames:v', '1', '-f', 'rawvideo', '-'],
    ]);
  } finally {
    rmSync(root, { recursive: true, force: true });
  }
}

/** Bounding box of what is brighter than mid grey; null where nothing is. */
function box(luma: Buffer): { left: number; right: number; top: number; bottom: number } | null {
  const lit = [...luma.entries()].filter(([, value]) => value > 100).map(([i]) => i);
  if (lit.length === 0) return null;
  const x = lit.map((i) => i % size.width);
  const y = lit.map((i) => Math.floor(i / size.width));
  return { left: Math.min(...x), right: Math.max(...x) + 1, top: Math.min(...y), bottom: Math.max(...y) + 1 };
}

describe('captions', () => {
  it('keep tags, line breaks and control characters of outside text from meaning anything', () => {
    expect(escapeText('a{\\b1}b')).toBe('a\\{\\\u2060b1\\}b');
    expect(escapeText('one\r\ntwo\tthree\u2028four')).toBe('one two three four');
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const escaped = escapeText(text);
        expect(escaped).not.toMatch(/[\r\n\0]/);
        // No brace without a backslash, and no backslash that a letter follows.
        expect(escaped).not.toMatch(/(^|[^\\])[{}]/);
        expect(escaped).not.toMatch(/\\[^\u2060{}]/u);
      }),
    );
  });

  it('draw hostile text as text: no larger, no drawing, one line', () => {
    const hostile = '{\\fs160}\\Nx{\\p1}m 0 0 l 300 0 300 170 0 170{\\p0}';
    const drawn = box(draw([`{\\an7\\pos(4,4)}${escapeText(hostile)}`]))!;
    expect(drawn.bottom - drawn.top).toBeLessThan(40);
    const free = box(draw([`{\\an7\\pos(4,4)}${hostile}`]))!;
    expect(free.bottom - free.top).toBeGreaterThan(80);
  });

  it('write colours and times as the format has them', () => {
    expect(assColour('#0072b2')).toBe('&HB27200&');
    expect([0, 1 / 30, 2 / 30, 1, 59.999, 3723.456].map(assTime)).toEqual([
      '0:00:00.00',
      '0:00:00.03',
      '0:00:00.06',
      '0:00:01.00',
      '0:00:59.99',
      '1:02:03.45',
    ]);
  });

  it('change with the very picture they are for', () => {
    // Picture k is at k / 30 s; an event's hundredths must lie after picture k - 1 and not after picture k.
    for (let k = 1; k < 3000; k += 1) {
      const [, minutes, seconds] = /^0:(\d+):([\d.]+)$/.exec(assTime(k / 30))!;
      const startMs = Math.round(Number(minutes) * 60_000 + Number(seconds) * 1000);
      expect(startMs).toBeLessThanOrEqual((k * 1000) / 30 + 1e-6);
      expect(startMs).toBeGreaterThan(((k - 1) * 1000) / 30);
    }
  });

  it.skipIf(process.platform === 'win32')('are found in a folder with any name', () => {
    const names = ["it's", 'a:b', '[c],d;e', 'back\\slash', "q=1 %d é 力 \\' ::"];
    for (const name of names) expect(box(draw(['{\\an7\\pos(4,4)}Hello'], name)), name).not.toBeNull();
  });

  it('take a Windows path with slashes and an escaped colon', () => {
    expect(filterPath("C:\\Users\\O'Neil\\x.ass", 'win32')).toBe("C\\\\:/Users/O\\\\\\'Neil/x.ass");
  });
});

describe('drawings', () => {
  const clip = { x: 0, y: 0, ...size };
  const white = { colour: '#FFFFFF', opacity: 1 };

  it('put a disc where it is asked, to a quarter of a pixel', () => {
    const luma = draw([fillText(circle({ x: 100.5, y: 60.25 }, 20), white, clip)]);
    const sum = { x: 0, y: 0, n: 0 };
    luma.forEach((value, i) => {
      const weight = (value - 16) / 219;
      sum.x += weight * ((i % size.width) + 0.5);
      sum.y += weight * (Math.floor(i / size.width) + 0.5);
      sum.n += weight;
    });
    expect(Math.abs(sum.x / sum.n - 100.5)).toBeLessThan(0.25);
    expect(Math.abs(sum.y / sum.n - 60.25)).toBeLessThan(0.25);
    expect(Math.abs(sum.n - Math.PI * 400)).toBeLessThan(0.02 * Math.PI * 400);
  });

  it('leave the middle of a ring open', () => {
    const luma = draw([fillText(circle({ x: 100, y: 60 }, 20, 12), white, clip)]);
    expect(luma[60 * size.width + 100]).toBeLessThan(20);
    expect(luma[60 * size.width + 84]).toBeGreaterThan(200);
  });

  it('draw a bent line with its width and nothing between its ends', () => {
    const bent = [
      { x: 40, y: 40 },
      { x: 240, y: 40 },
      { x: 240, y: 140 },
    ];
    const luma = draw([strokeText(strokes([bent]), 8, white, clip)]);
    expect(box(luma)).toEqual({ left: 36, right: 244, top: 36, bottom: 144 });
    expect(luma[40 * size.width + 140]).toBeGreaterThan(200);
    // The straight way from end to end passes here; a closed shape would be filled.
    expect(luma[90 * size.width + 140]).toBeLessThan(20);
    expect(luma[70 * size.width + 200]).toBeLessThan(20);
  });

  it('stay inside their clip', () => {
    const line = [
      { x: 10, y: 90 },
      { x: 310, y: 90 },
    ];
    const luma = draw([strokeText(strokes([line]), 6, white, { x: 100, y: 0, width: 50, height: 180 })]);
    expect(box(luma)).toMatchObject({ left: 100, right: 150 });
  });

  it('cut lines into even dashes whose sum is the line without its gaps', () => {
    const line = [
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 10, y: 20 },
    ];
    expect(dashes([line], 6, 3)).toEqual([
      [
        { x: 0, y: 0 },
        { x: 6, y: 0 },
      ],
      [
        { x: 9, y: 0 },
        { x: 10, y: 0 },
        { x: 10, y: 5 },
      ],
      [
        { x: 10, y: 8 },
        { x: 10, y: 14 },
      ],
      [
        { x: 10, y: 17 },
        { x: 10, y: 20 },
      ],
    ]);
    expect(dashes([[], [{ x: 1, y: 1 }]], 6, 3)).toEqual([]);
  });

  it('keep a line of dashes in place while it grows', () => {
    const point = fc.record({ x: fc.integer({ min: 0, max: 400 }), y: fc.integer({ min: 0, max: 400 }) });
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 12 }), (line) => {
        const whole = dashes([line], 16, 12);
        const before = dashes([line.slice(0, -1)], 16, 12).slice(0, -1);
        expect(whole.slice(0, before.length)).toEqual(before);
        const lengthOf = (points: readonly { x: number; y: number }[]): number =>
          points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - points[i].x, p.y - points[i].y), 0);
        for (const dash of whole) expect(lengthOf(dash)).toBeLessThanOrEqual(16 + 1e-6);
      }),
    );
  });
});
