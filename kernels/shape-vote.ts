/**
 * The vote over places and sizes of an outline, as `voteForPlace` of shared-lib/picture/shape-vote.ts counts it, for two
 * places at once in the same order, so that the result is the same to the bit.
 */
const mostRays: i32 = 96;
const candidatesPerRay: i32 = 4;

// nx, ny and support of each ray; then offsets and weights of its candidates; then what won.
const nx = memory.data((3 * mostRays + 2 * mostRays * candidatesPerRay + 4) * 8, 16);
const ny: usize = nx + mostRays * 8;
const support: usize = ny + mostRays * 8;
const offset: usize = support + mostRays * 8;
const weight: usize = offset + mostRays * candidatesPerRay * 8;
const out: usize = weight + mostRays * candidatesPerRay * 8;

export function shapeVoteAt(): usize {
  return nx;
}

/** @param n, m steps to each side in place and in size; `most` is what all rays together come to */
export function shapeVote(rays: i32, n: i32, m: i32, step: f64, most: f64): void {
  const one = f64x2.splat(1);
  let best: f64 = -1;
  store<f64>(out, 0);
  store<f64>(out, 0, 8);
  store<f64>(out, 0, 16);
  for (let g = -m; g <= m; g++) {
    const ds = <f64>g * step;
    for (let y = -n; y <= n; y++) {
      const dy = <f64>y * step;
      for (let x = -n; x <= n; x += 2) {
        const dx = f64x2.replace_lane(f64x2.splat(<f64>x * step), 1, <f64>(x + 1) * step);
        let sums = f64x2.splat(0);
        for (let i = 0; i < rays; i++) {
          const ray = i << 3;
          const down = f64x2.splat(load<f64>(ny + ray) * dy);
          const grown = f64x2.splat(load<f64>(support + ray) * ds);
          const across = f64x2.mul(v128.load_splat<f64>(nx + ray), dx);
          const expected = f64x2.add(f64x2.add(across, down), grown);
          let top = f64x2.splat(0);
          for (let c = 0; c < candidatesPerRay; c++) {
            const at: usize = (i * candidatesPerRay + c) << 3;
            const o = load<f64>(offset + at);
            if (o != o) break;
            const u = f64x2.sub(f64x2.splat(o), expected);
            const v = f64x2.mul(v128.load_splat<f64>(weight + at), f64x2.sub(one, f64x2.mul(u, u)));
            top = f64x2.pmax(top, v);
          }
          sums = f64x2.add(sums, top);
        }
        const growth: f64 = 1 + 0.5 * ds;
        for (let lane = 0; lane < 2 && x + lane <= n; lane++) {
          const sum = lane == 0 ? f64x2.extract_lane(sums, 0) : f64x2.extract_lane(sums, 1);
          const score = (sum / most) * growth;
          if (!(score > best)) continue;
          best = score;
          store<f64>(out, <f64>(x + lane) * step);
          store<f64>(out, dy, 8);
          store<f64>(out, ds, 16);
        }
      }
    }
  }
  store<f64>(out, best, 24);
}
