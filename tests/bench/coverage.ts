/**
 * How often intervals hold the truth and calls are false over many simulated pairs: the longer version of the test in
 * tests/unit/pair. Run with `npx tsx tests/bench/coverage.ts [pairs per case] [draws]`.
 */
import { headlineSlots, measureNames, type MeasureName } from '../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial3,
  comparePairs,
  differs,
  held,
  heldTogether,
  singleCoverage,
} from '../unit/pair/trials.ts';

const [n = 300, draws = 400] = process.argv.slice(2).map(Number);
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const planted = {
  squat: { bottomX: 0.06, lockoutX: 0.02, descentS: 2 },
  bench: { bottomX: 0.11, bellyX: -0.052, pauseS: 1.15 },
  deadlift: { bellyX: 0.066, sagM: 0.027 },
};

for (const lift of ['squat', 'bench', 'deadlift'] as const) {
  for (const same of [true, false]) {
    const shared = { camera: same, disc: same };
    const none = comparePairs(lift, {}, shared, { n, draws, seed: 1 });
    const some = comparePairs(lift, planted[lift], shared, { n, draws, seed: 2 });
    console.log(
      `${lift}, ${same ? 'same camera' : 'cameras apart'}: all headline intervals hold ${percent(heldTogether(none))} unchanged, ` +
        `${percent(heldTogether(some))} planted (95 ± ${(100 * binomial3(0.95, n)).toFixed(1)}); each ${percent(held(none))}; ` +
        `any false call ${percent(anyDiffers(none))}`,
    );
    for (const name of new Set(some.flatMap((t) => t.headline.map((h) => h.name)))) {
      const truth = some[0].headline.find((h) => h.name === name)?.truth;
      const u95 = some.flatMap((t) =>
        t.headline.filter((h) => h.name === name).map((h) => (h.hi95 - h.lo95) / 2),
      );
      const mean = u95.reduce((a, b) => a + b, 0) / u95.length;
      console.log(
        `  ${name}: planted ${truth?.toFixed(3)}, mean u95 ${mean.toFixed(4)}, called differs in ${percent(differs(some, name))}`,
      );
    }
  }
  const single = headlineSlots[lift].filter((slot): slot is MeasureName =>
    measureNames.includes(slot as MeasureName),
  );
  for (const [name, share] of singleCoverage(lift, [...single, 'rom_m'], { n, draws, seed: 3 })) {
    console.log(`  one rep, ${name}: holds ${percent(share)}`);
  }
}
