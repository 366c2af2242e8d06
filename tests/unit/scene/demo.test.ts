import { readFileSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { demoPair } from '../../../demo-data/demo-pair.ts';
import { momentsOf, truthFile } from '../../../demo-data/render-clip.ts';
import { truthSchema, type Truth } from '../../../demo-data/truth/schema.ts';
import { truthOf } from '../../../demo-data/truth/truth.ts';
import { headlineSlots, measureInfo, type MeasureName } from '../../../shared-lib/contract/measures.ts';

const folder = new URL('../../../demo-data/', import.meta.url);
const pathOf = (file: string): string => new URL(file, folder).pathname;
const read = (file: string): unknown => JSON.parse(readFileSync(pathOf(file), 'utf8'));
const truths: Truth[] = demoPair.map(({ file }) => truthSchema.parse(read(truthFile(file))));
const valueOf = (truth: Truth, name: MeasureName): number => Number(truth.reps[0].measures[name]);

describe('the demo pair', () => {
  it('plants exactly three called differences, each as large as told', () => {
    const [reference, today] = truths;
    const change = (name: MeasureName) => valueOf(today, name) - valueOf(reference, name);
    const called = headlineSlots.bench.filter((s): s is MeasureName => s in measureInfo);
    const planted = called.filter((name) => Math.abs(change(name)) >= Number(measureInfo[name].delta));
    expect(planted).toEqual(['drift_bottom_m', 'descent_s', 'slowest_mps']);
    expect(Math.abs(change('drift_bottom_m') - 0.045)).toBeLessThan(0.002);
    expect(Math.abs(change('descent_s') - 0.9)).toBeLessThan(0.03);
    expect(Math.abs(change('slowest_mps') + 0.12)).toBeLessThan(0.005);
    expect(Math.abs(change('bow_m'))).toBeLessThan(0.005);
    expect(Math.abs(change('pause_s'))).toBeLessThan(0.05);
    expect(Math.abs(change('drift_lockout_m'))).toBeLessThan(0.005);
  });

  it('sticks clearly in the heavy single and hardly in the practice rep', () => {
    expect(valueOf(truths[0], 'sticking_drop_mps')).toBeLessThan(0.07);
    expect(valueOf(truths[1], 'sticking_drop_mps')).toBeGreaterThan(0.15);
  });

  it('is committed with the truth that its specs give, and each film is under 2 MB', () => {
    demoPair.forEach(({ file, spec }, i) => {
      const now = truthOf(spec, file, momentsOf(spec));
      expect(truths[i].frames.length).toBe(now.frames.length);
      now.frames.forEach((f, n) => {
        expect(Math.abs(truths[i].frames[n].px - f.px)).toBeLessThan(1e-6);
        expect(Math.abs(truths[i].frames[n].py - f.py)).toBeLessThan(1e-6);
      });
      expect(truths[i].reps[0].start_s).toBeCloseTo(now.reps[0].start_s, 6);
      expect(statSync(pathOf(file)).size).toBeLessThan(2e6);
    });
  });

  it('is named in demo.json with lift and loads', () => {
    const demo = read('demo.json') as { lift: string; clips: { file: string; load_kg: number }[] };
    expect(demo.lift).toBe('bench');
    expect(demo.clips.map((c) => [c.file, c.load_kg])).toEqual(demoPair.map((d) => [d.file, d.spec.loadKg]));
  });
});
