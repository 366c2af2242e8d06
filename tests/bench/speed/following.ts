import { probeClip } from '../../../electron/media/probe.ts';
import { textTable } from '../accuracy/table.ts';
import { fast240, hevc4k, mostlyStill, ordinary, type SpeedClip } from './clips.ts';
import type { Target } from './figures.ts';
import { medians, ratio, type SpeedBench } from './speed-bench.ts';
import type { Cost } from './timed-child.ts';

/** Bytes of memory at most, ffmpeg's included. */
const mostBytes = 500e6;
const perFrame = (s: number, frames: number): string => ((1000 * s) / frames).toFixed(1);
const megabytes = (bytes: number): string => (bytes / 1e6).toFixed(0);

interface Followed {
  clip: SpeedClip;
  frames: number;
  bare: Cost;
  own: Cost;
}

const named = (clip: SpeedClip): string => `${clip.about}, ${clip.seconds} s`;

async function followAll(bench: SpeedBench, clips: readonly SpeedClip[]): Promise<Followed[]> {
  const rows: string[][] = [];
  const results = [];
  for (const clip of clips) {
    const { file } = await bench.clip(clip);
    const frames = Math.round((await probeClip(file, bench.tools)).durationS * clip.fps);
    const { bare, own } = await medians(bench.rounds, {
      bare: () => bench.decode(file),
      own: () => bench.run('follow', file, '--lift', 'squat'),
    });
    results.push({ clip, frames, bare, own });
    rows.push([
      named(clip),
      ...[ratio(own.wallS, bare.wallS), ratio(own.cpuS, bare.cpuS)],
      ...[perFrame(bare.wallS, frames), perFrame(own.wallS, frames)],
      ...[perFrame(bare.cpuS, frames), perFrame(own.cpuS, frames), megabytes(own.peakBytes)],
    ]);
  }
  const head = [
    ...['time / decode', 'cpu / decode', 'decode ms', 'follow ms'],
    ...['decode cpu ms', 'follow cpu ms', 'MB'],
  ];
  bench.print(`\nFollowing against bare decoding, a frame\n${textTable(['', ...head], rows)}`);
  return results;
}

/** Following clips of every kind. */
export async function following(bench: SpeedBench, seconds: number): Promise<void> {
  const targets: [SpeedClip, Target][] = [
    [ordinary(seconds), { most: 1.5 }],
    [hevc4k, { most: 1.3 }],
    [fast240, { most: 2 }],
    [mostlyStill, { most: 1 }],
  ];
  const followed = await followAll(
    bench,
    targets.map(([clip]) => clip),
  );
  followed.forEach(({ clip, bare, own }, i) =>
    bench.keep({
      name: `follow ${named(clip)}`,
      value: own.wallS / bare.wallS,
      unit: 'bare decodes',
      target: targets[i][1],
    }),
  );
}

/** How cost and memory grow with a clip's length. */
export async function lengths(bench: SpeedBench, seconds: readonly number[]): Promise<void> {
  const followed = await followAll(bench, seconds.map(ordinary));
  const [short, long] = [followed[0], followed[followed.length - 1]];
  const middle = followed.length > 2 ? followed[1] : null;
  const rate = (from: Followed, to: Followed, of: 'bare' | 'own' = 'own'): number =>
    (to[of].wallS - from[of].wallS) / (to.frames - from.frames);
  const startS = short.own.wallS - rate(short, long) * short.frames;
  const between = `${long.clip.seconds} s to ${short.clip.seconds} s`;
  const even: Target = { from: 0.9, to: 1.1 };
  bench.keep(
    ...followed.map(({ clip, own }) => ({
      name: `memory following ${clip.seconds} s`,
      value: own.peakBytes / 1e6,
      unit: 'MB',
      target: { most: mostBytes / 1e6 },
    })),
    {
      name: `memory, ${between}`,
      value: long.own.peakBytes / short.own.peakBytes,
      unit: 'ratio',
      target: even,
    },
    {
      name: `time a frame, ${between}`,
      value: long.own.wallS / long.frames / (short.own.wallS / short.frames),
      unit: 'ratio',
      target: even,
    },
    ...(middle
      ? [
          {
            name: 'the same without start-up',
            value: rate(middle, long) / rate(short, middle),
            unit: 'ratio',
            target: even,
          },
        ]
      : []),
    {
      name: 'following above decoding',
      value: 1000 * (rate(short, long) - rate(short, long, 'bare')),
      unit: 'ms a frame',
    },
    { name: 'start-up of following', value: startS, unit: 's' },
  );
}
