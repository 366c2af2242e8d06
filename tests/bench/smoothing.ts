import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { median, quantile } from 'd3-array';
import { findReps } from '../../shared-lib/rep/find-reps.ts';
import { measureRep } from '../../shared-lib/rep/measures.ts';
import { candidates, type Candidate } from './smoothing/candidates.ts';
import { muchNoise, renderedCases, simulatedCases, usualNoise, type Case } from './smoothing/cases.ts';

/**
 * Compares ways of smoothing on traces whose exact motion is known: followed in the fixed suite's films (apart from
 * scale), and simulated on the tuning set's courses. Run with `npx tsx tests/bench/smoothing.ts [--courses N] [--cache DIR]`.
 */
const { values: options } = parseArgs({
  options: {
    courses: { type: 'string', default: '60' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    lift: { type: 'string' },
  },
});

const columns = [
  'v RMS mm/s',
  'mean %',
  'peak %',
  'slowest mm/s',
  'start ms',
  'bottom ms',
  'drive ms',
  'lockout ms',
] as const;
type Column = (typeof columns)[number];
type Errors = Record<Column, number[]>;

function addErrors({ trace, lift, motion: truth, reps }: Case, candidate: Candidate, into: Errors): boolean {
  const { motion, noise } = candidate(trace);
  let squares = 0;
  let n = 0;
  motion.vyMps.forEach((v, i) => {
    if (Number.isNaN(v)) return;
    squares += (v - truth.at(motion.t0S + i * motion.dtS).vyMps) ** 2;
    n++;
  });
  into['v RMS mm/s'].push(1000 * Math.sqrt(squares / n));
  const found = findReps(motion, lift, noise);
  if (found.length !== reps.length) return false;
  found.forEach(({ events }, k) => {
    const got = measureRep(motion, events, lift, noise);
    const real = reps[k];
    const add = (
      column: Column,
      a: number | null,
      b: number | null | undefined,
      of: (a: number, b: number) => number,
    ) => {
      if (a !== null && b !== null && b !== undefined) into[column].push(Math.abs(of(a, b)));
    };
    const percent = (a: number, b: number): number => 100 * (a / b - 1);
    const thousandths = (a: number, b: number): number => 1000 * (a - b);
    add('mean %', got.mean_drive_mps, real.measures.mean_drive_mps, percent);
    add('peak %', got.peak_drive_mps, real.measures.peak_drive_mps, percent);
    add('slowest mm/s', got.slowest_mps, real.measures.slowest_mps, thousandths);
    add('start ms', events.startS, real.events.startS, thousandths);
    add('bottom ms', events.bottomS, real.events.bottomS, thousandths);
    add('drive ms', events.driveStartS, real.events.driveStartS, thousandths);
    add('lockout ms', events.lockoutS, real.events.lockoutS, thousandths);
  });
  return true;
}

function table(title: string, cases: readonly Case[]): void {
  const chosen = cases.filter((c) => options.lift === undefined || c.lift === options.lift);
  process.stdout.write(`\n${title}, ${chosen.length} traces: median / 95th percentile\n`);
  process.stdout.write(`${''.padEnd(32)}${columns.map((c) => c.padStart(14)).join('')}  other reps\n`);
  for (const [name, candidate] of Object.entries(candidates)) {
    const errors = Object.fromEntries(columns.map((c) => [c, []])) as unknown as Errors;
    const missed = chosen.filter((c) => !addErrors(c, candidate, errors)).length;
    const cells = columns.map((c) => {
      const of = (v: number | undefined): string => (v === undefined ? '-' : v.toFixed(v < 10 ? 2 : 0));
      return `${of(median(errors[c]))} / ${of(quantile(errors[c], 0.95))}`.padStart(14);
    });
    process.stdout.write(`${name.padEnd(32)}${cells.join('')}  ${missed}\n`);
  }
}

const courses = Number(options.courses);
for (const fps of [30, 60])
  table(`Simulated, ${fps} frames a second`, simulatedCases(courses, fps, usualNoise));
table('Simulated, 30 frames a second, four times the noise', simulatedCases(courses, 30, muchNoise));

const rendered: Case[] = [];
for await (const c of renderedCases(options.cache)) rendered.push(c);
table('Followed in rendered films', rendered);
