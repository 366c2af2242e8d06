import { csvParse } from 'd3-dsv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Change } from '../../../shared-lib/contract/pair.ts';
import { changesCsv, traceCsv, type TraceRow } from '../../../shared-lib/page/csv.ts';

const row: TraceRow = {
  frame: 7,
  ptsS: 0.11678333,
  tS: 0.1167,
  xPx: 540.12345,
  yPx: 800,
  xM: -0.0000001,
  yM: -0.381234567,
  smoothedXM: 0.0012,
  smoothedYM: -0.38,
  confidence: 0.98765,
  state: 'seen',
};

const change: Change = {
  name: 'descent_s',
  unit: 's',
  reference: 1.72,
  today: 1.28,
  change: -0.44,
  lo95: -0.49,
  hi95: -0.39,
  u95: 0.05,
  call: 'differs',
  why: 'These two reps differ.',
};

describe('trace.csv', () => {
  it('has its columns in their order, fixed decimals and a final line end', () => {
    expect(traceCsv([row])).toBe(
      'frame,pts_s,t_s,px,py,x_m,y_m,sx_m,sy_m,confidence,state\n' +
        '7,0.116783,0.116700,540.123,800.000,0.00000,-0.38123,0.00120,-0.38000,0.988,seen\n',
    );
  });

  it('leaves the cells of lost samples empty, whatever stands in them', () => {
    const lost = { ...row, state: 'lost' as const, xPx: NaN, yM: null, confidence: 0 };
    expect(traceCsv([lost]).split('\n')[1]).toBe('7,0.116783,0.116700,,,,,,,0.000,lost');
  });

  it('leaves a cell empty that is not a number in a sample that is there', () => {
    expect(csvParse(traceCsv([{ ...row, state: 'bridged', xM: Infinity }]))[0].x_m).toBe('');
  });

  it('is a header alone for no samples', () => {
    expect(traceCsv([]).split('\n')).toHaveLength(2);
  });
});

describe('changes.csv', () => {
  it('writes a change in SI units with empty cells for what does not exist', () => {
    const bare = { ...change, reference: null, change: null, lo95: null, hi95: null, u95: null, call: null };
    expect(changesCsv([change, bare])).toBe(
      'name,unit,reference,today,change,lo95,hi95,u95,call,why\n' +
        'descent_s,s,1.720000,1.280000,-0.440000,-0.490000,-0.390000,0.050000,differs,These two reps differ.\n' +
        'descent_s,s,,1.280000,,,,,,These two reps differ.\n',
    );
  });

  it('comes back as it was through a CSV reader, whatever the text holds', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('"', ',', '\n', '\r', 'a', 'é', '力', "'", '=') }),
        (why) => {
          const [back] = csvParse(changesCsv([{ ...change, why }]));
          expect(back.why).toBe(why.replace(/^[=\r]/, "'$&"));
          expect(back.call).toBe('differs');
          expect(Number(back.change)).toBe(-0.44);
        },
      ),
    );
  });
});
