import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { Change } from '../../../shared-lib/contract/pair.ts';
import type { PageInput } from '../../../shared-lib/page/page-input.ts';
import { renderPage } from '../../../shared-lib/page/page.ts';
import { summary } from '../../../shared-lib/page/sections/changes.ts';
import { filmHref } from '../../../shared-lib/page/sections/header.ts';
import { style, styleHash } from '../../../shared-lib/page/style.ts';
import { changeWords } from '../../../shared-lib/page/words.ts';
import { directionWords } from '../../../shared-lib/pair/sentences.ts';
import { benchPressLetter, benchPressPage } from './fixture.ts';

const input = benchPressPage();
const page = renderPage(input);
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const visible = plain(page.replace(/<style>[^]*?<\/style>/, '').replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ')); // prettier-ignore

describe('the page as one file', () => {
  it('admits its own style sheet by hash, pictures inside the file, and nothing else', () => {
    expect(createHash('sha256').update(style).digest('base64')).toBe(styleHash);
    expect(page).toContain(`<style>${style}</style>`);
    const policy = page.match(/Content-Security-Policy" content="([^"]+)"/)?.[1];
    expect(policy).toBe(
      `default-src &#39;none&#39;; style-src &#39;sha256-${styleHash}&#39;; img-src data:; base-uri &#39;none&#39;; form-action &#39;none&#39;`,
    );
  });

  it('has no script, no handler, no inline style and no address that leaves the folder', () => {
    expect(page).not.toMatch(/<script|\son\w+=|\sstyle=|javascript:|@import|url\(/i);
    const addresses = [...page.matchAll(/(?:href|src)="([^"]+)"/g)].map((m) => m[1]);
    expect(addresses.length).toBeGreaterThan(8);
    for (const address of addresses) expect(address).toMatch(/^(data:image\/jpeg;base64,|\.\/)/);
  });

  it('tells of the body what was marked, under a heading of its own, and nothing where nothing was', () => {
    const heading = 'The body, as it was marked in the pictures';
    const body = [
      'Bar against the shoulder joint at touch: 3.1 ± 1.2 cm more toward the feet than in the reference.',
      'Today: The hip moves 2.0 cm ± 0.6 cm up as the bar leaves the top.',
    ];
    const section = renderPage({ ...input, body }).match(
      /<section aria-labelledby="body">[^]*?<\/section>/,
    )![0];
    const words = plain(section.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' '));
    for (const said of [heading, ...body]) expect(words).toContain(said);
    expect(visible).not.toContain(heading);
  });

  it('closes every element that it opens', () => {
    const open: string[] = [];
    const empty = new Set(['meta', 'image', 'path', 'circle', 'rect', 'br']);
    for (const [, close, name, self] of page.matchAll(/<(\/?)([a-z]\w*)(?:[^>"]|"[^"]*")*?(\/?)>/g)) {
      if (close) expect(open.pop()).toBe(name);
      else if (!self && !empty.has(name)) open.push(name);
    }
    expect(open).toEqual([]);
  });
});

describe('what the page says', () => {
  it('leads with the lift, both clips, both loads and that dates are unknown', () => {
    expect(visible).toContain('Bench press: today beside the reference');
    expect(visible).toMatch(/Reference 90 kg bench-practice-90\.mp4 rep 1, completed/);
    expect(visible).toMatch(/Today 95 kg bench-single-95\.mp4/);
    expect(visible).toMatch(/no date/);
  });

  it('gives every headline sentence with its call and its reason, and folds the others', () => {
    for (const h of input.headlines) expect(visible).toContain(plain(h.sentence));
    const list = page.slice(page.indexOf('<ul class="changes">'), page.lastIndexOf('<details'));
    expect([...list.matchAll(/class="call [\w-]+">([^<]+)</g)].map((m) => m[1])).toEqual(
      input.headlines.map((h) => h.call),
    );
    expect(list).toContain('whether the lifter has changed is open');
    expect(page.match(/<details/g)).toHaveLength(2);
    expect(visible).toContain(`${input.pair.changes.length - 6} more, shown without a call`);
  });

  it('tables every measure with reference, today, change, interval and call', () => {
    const table = page.slice(page.indexOf('<table class="measures">'));
    const rows = [...table.matchAll(/<tr>\s*<th scope="row">([^]*?)<\/tr>/g)].map((m) =>
      plain(m[1]).replace(/<[^>]+>/g, '|').replace(/\s*\|[\s|]*/g, '|'),
    ); // prettier-ignore
    expect(rows.length).toBeGreaterThanOrEqual(input.pair.changes.length);
    expect(rows[0]).toContain('Drift at touch|7.1 cm toward the feet|9.8 cm toward the feet|2.7 cm toward the feet|1.8 to 3.6 cm toward the feet|differs'); // prettier-ignore
    expect(rows[2]).toContain('Descent|1.72 s|1.28 s|−0.44 s|−0.49 to −0.39 s|differs');
    expect(rows[4]).toContain('1.2 cm toward the head|0.6 cm toward the feet|1.8 cm toward the feet|0.3 cm toward the head to 3.9 cm toward the feet|cannot tell'); // prettier-ignore
    expect(rows.find((r) => r.startsWith('Drop into'))).toContain('|–|0.22 m/s|–|–|not called');
  });

  it('never puts a sign on a horizontal measure', () => {
    const table = page.slice(page.indexOf('<table class="measures">'));
    const cells = [...table.matchAll(/<td>([^<]*toward[^<]*)<\/td>/g)].map((m) => m[1]);
    expect(cells.length).toBeGreaterThan(15);
    for (const cell of cells) expect(cell).not.toMatch(/[+−-]\d/);
  });

  it('tells what each clip can carry and how to film the next one better', () => {
    expect(visible).toContain('Horizontal measures good poor, read with care');
    expect(visible).toContain('Nothing stands in the way of measuring this clip.');
    for (const advice of input.today.clip.check.advice) expect(visible).toContain(plain(advice));
    for (const note of input.pair.notes) expect(visible).toContain(note);
  });

  it('carries its cautions', () => {
    for (const words of [
      /no medical advice.*licensed clinician/,
      /current rulebook and the referees decide/,
      /competent spotters or safeties/,
      /never repeated for the camera/,
      /near end of the bar/,
    ]) {
      expect(visible).toMatch(words);
    }
  });

  it('puts reported pain before everything that was measured', () => {
    const hurt = renderPage({
      ...input,
      letter: benchPressLetter(input.pair, input, { pain: 'left shoulder, at the bottom' }),
    });
    expect(hurt.indexOf('left shoulder')).toBeGreaterThan(0);
    expect(hurt.indexOf('left shoulder')).toBeLessThan(hurt.indexOf('<section'));
    expect(page).not.toContain('You mentioned');
  });

  it('says of a rep that was not completed how far short it stopped', () => {
    const rep = {
      ...input.today.rep,
      outcome: { kind: 'not completed' as const, shortM: 0.123 },
      earlier_attempts: 1,
    };
    const text = plain(renderPage({ ...input, today: { ...input.today, rep } }));
    expect(text).toContain('not completed, stopped 12.3 cm short, after 1 earlier attempt out of the bottom');
    expect(text).toMatch(/<th scope="row">Drive<\/th>\s*<td>1\.48 s<\/td>\s*<td>not completed<\/td>/);
    expect(text).toContain('Today’s bar does not reach lockout.');
  });

  it('leaves out what is not there', () => {
    const { pair } = input;
    const bare: PageInput = {
      ...input,
      pair: { ...pair, notes: [], changes: [], today: { ...pair.today, loadKg: null } },
      headlines: [],
      bands: [],
      stills: [],
      letter: [],
      cueStills: [],
      filmFile: null,
      lifter: null,
    };
    const text = renderPage(bare);
    expect(text).toContain('load not given');
    expect(text).toContain('No headline measure could be called for this pair.');
    for (const gone of [
      'id="moments"',
      'id="letter-mainCue"',
      'id="notes"',
      'class="film"',
      'NaN',
      'undefined',
      'null',
    ]) {
      expect(text.replace(style, '')).not.toContain(gone);
    }
  });
});

describe('accessibility', () => {
  it('gives every chart and still a role, a title and a finding, under ids that occur once', () => {
    const pictures = [...page.matchAll(/<svg [^>]*>/g)].map((m) => m[0]);
    expect(pictures).toHaveLength(1 + 2 + 6 + 8 + 2);
    for (const tag of pictures)
      expect(tag).toMatch(/role="img" aria-labelledby="[\w-]+" aria-describedby="[\w-]+"/);
    const ids = [...page.matchAll(/\sid="([^"]+)"/g)].map((m) => m[1]);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, id] of page.matchAll(/aria-(?:labelledby|describedby)="([^"]+)"/g))
      expect(ids).toContain(id);
    expect(plain(page)).toMatch(
      /<desc id="paths-finding">[^<]*reference bar is 7\.1 cm toward the feet at touch/,
    );
    expect(plain(page)).toMatch(/<desc id="strip-2-finding">−0\.44 s, 95 % interval −0\.49 to −0\.39 s/);
  });

  it('has one first heading, no level skipped, and a scope on every table head', () => {
    const levels = [...page.matchAll(/<h([1-6])[ >]/g)].map((m) => Number(m[1]));
    expect(levels.filter((l) => l === 1)).toHaveLength(1);
    expect(levels[0]).toBe(1);
    levels.forEach((level, i) => expect(level - (levels[i - 1] ?? 0)).toBeLessThanOrEqual(1));
    expect(page.match(/<th(?=[ >])/g)?.length).toBe(page.match(/<th scope="(col|row)"/g)?.length);
    for (const landmark of ['<header>', '<main>', '<footer>', '<html lang="en">'])
      expect(page).toContain(landmark);
    expect(page.match(/<figure>/g)?.length).toBe(page.match(/<figcaption>/g)?.length);
  });
});

describe('text from outside', () => {
  const evil = `</style></title><script>alert(1)</script><img src=x onerror="a()">'&"`;
  const change: Change = { ...input.pair.changes[0], name: evil, why: evil, unit: evil };
  const clip = {
    ...input.today.clip,
    media: { ...input.today.clip.media, file: evil },
    check: { ...input.today.clip.check, advice: [evil] },
    notes: [evil],
  };
  const text = renderPage({
    ...input,
    pair: {
      ...input.pair,
      today: { ...input.pair.today, clip: evil },
      notes: [evil],
      changes: [change],
      smoothing: { method: evil, cutoffHz: 6 },
    },
    today: { ...input.today, clip, events: [{ name: evil, tS: 3 }] },
    headlines: [{ name: evil, sentence: evil, call: 'differs', delta: 0.02 }],
    stills: [{ ...input.stills[0], event: evil, referenceJpeg: evil }],
    letter: [{ name: 'mainCue', heading: evil, texts: [{ key: 'cue.n1', text: evil, cue: 'n1' }] }],
    cueStills: [{ ...input.cueStills[0], cue: 'n1', referenceJpeg: evil }],
    filmFile: evil,
    lifter: evil,
  });

  it('is shown as text wherever it stands, and never read as markup', () => {
    expect(text).not.toMatch(/<script|<img|\sonerror="/);
    expect(text.match(/&lt;script&gt;alert\(1\)/g)?.length).toBeGreaterThan(12);
    expect(text.match(/<\/style>/g)).toHaveLength(1);
    for (const [, id] of text.matchAll(/\sid="([^"]*)"/g)) expect(id).toMatch(/^[\w-]+$/);
  });

  it('links the film by its name alone, whatever the name', () => {
    expect(filmHref('a b#1?.mp4')).toBe('./a%20b%231%3F.mp4');
    expect(filmHref('C:\\clips\\x.mp4')).toBe('./x.mp4');
    expect(filmHref('/home/someone/out/é力.mp4')).toBe('./%C3%A9%E5%8A%9B.mp4');
    expect(filmHref('javascript:alert(1)')).toBe('./javascript%3Aalert(1)');
  });

  it('names clips without the folders they lie in', () => {
    const pair = { ...input.pair, today: { ...input.pair.today, clip: '/home/someone/private/day.mp4' } };
    expect(renderPage({ ...input, pair })).not.toContain('private');
  });
});

describe('the summary', () => {
  const of = (...calls: (Change['call'])[]) =>
    summary(calls.map((call) => ({ name: 'x', sentence: '', call, delta: null }))); // prettier-ignore
  it('counts the calls in words, the surest first', () => {
    expect(of('cannot tell', 'differs', 'no clear change', 'differs', 'changed', 'no clear change')).toBe(
      'Of six headline measures, one has changed, two differ, two show no clear change, and for one these clips cannot tell.',
    );
    expect(of('no clear change', null)).toBe('The one headline measure shows no clear change.');
    expect(of('differs', 'differs')).toBe('Both headline measures differ.');
    expect(of('cannot tell', 'cannot tell', 'cannot tell')).toBe(
      'For all three headline measures these clips cannot tell.',
    );
    expect(of(null)).toBe('No headline measure could be called for this pair.');
  });
});

describe('changes in words', () => {
  const words = (name: string, unit: string, n: [number, number, number, number]) => {
    const [reference, today, lo95, hi95] = n;
    const w = changeWords(
      { name, unit, reference, today, change: today - reference, lo95, hi95, u95: (hi95 - lo95) / 2, call: null, why: '' },
      directionWords('squat'),
    ); // prettier-ignore
    return Object.fromEntries(Object.entries(w).map(([k, v]) => [k, plain(v as string)]));
  };
  it('turns horizontal signs into directions of the lift', () => {
    expect(words('drift_lockout_m', 'm', [0.01, -0.02, -0.041, -0.019])).toEqual({
      reference: '1.0 cm toward the toes',
      today: '2.0 cm toward the heels',
      change: '3.0 cm toward the heels',
      interval: '1.9 to 4.1 cm toward the heels',
    });
    expect(words('drift_lockout_m', 'm', [0, 0, -0.008, 0.009])).toEqual({
      reference: '0.0 cm',
      today: '0.0 cm',
      change: '0.0 cm',
      interval: '0.8 cm toward the heels to 0.9 cm toward the toes',
    });
  });
  it('keeps signs for what is not horizontal', () => {
    expect(words('mean_drive_mps', 'm/s', [0.4, 0.35, -0.08, -0.02])).toEqual({
      reference: '0.40 m/s',
      today: '0.35 m/s',
      change: '−0.05 m/s',
      interval: '−0.08 to −0.02 m/s',
    });
  });
});
