import { clipInput } from './clip-input.ts';
import { displayFilters } from './display-filters.ts';
import { timeAfter, timeBefore } from '../../shared-lib/motion/frame-times.ts';
import { filterPath } from './ass.ts';
import { seconds, writerLimits } from './arguments.ts';
import { filmFrames } from './film-frame.ts';
import type { PaneLayout } from './film-layout.ts';
import { sideNames, type FilmSide, type FilmSpec, type SideName } from './film-spec.ts';
import { filmFps, graceS, type Timeline } from './film-timeline.ts';
import type { FfmpegJob } from './ffmpeg-job.ts';

/** Round and under the panes. */
const background = '0x15181D';

export interface FilmFiles {
  /** The captions and drawings. */
  script: string;
  /** Folder of the font. */
  fonts: string;
  output: string;
}

/** A film is sent from phone to phone: at most 2.4 Mbit a second, 18 MB a minute, however grainy the clips are. */
const mostBits = ['-maxrate', '2400k', '-bufsize', '4800k'];

/** The one ffmpeg job that makes the film, or one picture of it. */
export function filmJob(
  spec: FilmSpec,
  timeline: Timeline,
  layouts: Record<SideName, PaneLayout>,
  files: FilmFiles,
  ffmpeg: string,
  filters: ReadonlySet<string>,
  /** The number of the one picture wanted; null for the whole film. */
  only: number | null = null,
): FfmpegJob {
  const panes = sideNames.map((name, i) => {
    const chain = paneFilters(spec[name], timeline, name, layouts[name], filters);
    return `[${i}:V:0]${chain.join(',')}[${name}]`;
  });
  const frame = filmFrames[spec.shape ?? 'landscape'];
  const first = layouts.reference.pane;
  const stacked = sideNames.map((name) => `${layouts[name].pane.left}_${layouts[name].pane.top - first.top}`);
  const whole = [
    `pad=${frame.width}:${frame.height}:0:${first.top}:color=${background}`,
    `ass=filename=${filterPath(files.script)}:fontsdir=${filterPath(files.fonts)}`,
    'format=yuv420p',
    ...(only === null ? [] : [`select='eq(n,${only})'`]),
  ];
  const graph = [
    ...panes,
    `[reference][today]xstack=inputs=2:layout=${stacked.join('|')}:fill=${background},${whole.join(',')}[film]`,
  ].join(';');
  return {
    ffmpeg,
    inputs: sideNames.map((name) => {
      const side = spec[name];
      return clipInput(side.path, timeBefore(stamps(side), timeline.shown[name][0]));
    }),
    options: [
      ...['-filter_complex', graph, '-map', '[film]', '-an', '-sn', '-dn'],
      ...(only === null ? asFilm(timeline.pictures) : asPicture),
      // Nothing of the clips' own tags, which may hold a place or a name, goes into the film.
      ...['-map_metadata', '-1', '-map_chapters', '-1', ...writerLimits],
      ...['-loglevel', 'error', '-nostats', '-stats_period', '0.25', '-progress', 'pipe:2'],
    ],
    output: files.output,
  };
}

const asFilm = (pictures: number): string[] => [
  ...['-frames:v', String(pictures), '-r', String(filmFps)],
  ...['-c:v', 'libx264', '-preset', 'veryfast', '-crf', '21', ...mostBits],
  ...['-profile:v', 'high', '-pix_fmt', 'yuv420p'],
  ...['-color_range', 'tv', '-colorspace', 'bt709', '-color_primaries', 'bt709', '-color_trc', 'bt709'],
  ...['-movflags', '+faststart', '-f', 'mp4'],
];
const asPicture = ['-frames:v', '1', '-c:v', 'png', '-f', 'image2', '-update', '1'];

const stamps = (side: FilmSide): number[] => side.samples.map(({ ptsS }) => ptsS);

function paneFilters(
  side: FilmSide,
  timeline: Timeline,
  name: SideName,
  layout: PaneLayout,
  filters: ReadonlySet<string>,
): string[] {
  const ptsS = stamps(side);
  const shown = timeline.shown[name];
  const { widthPx, heightPx, pixelAspect, transfer } = side.media;
  const { source, scaled, crop, pad } = layout;
  const display = displayFilters(transfer, filters);
  const range = display.length > 0 ? '' : ':out_color_matrix=bt709:out_range=tv';
  return [
    'settb=AVTB',
    `trim=start=${seconds(timeBefore(ptsS, shown[0]))}:end=${seconds(timeAfter(ptsS, shown.at(-1)!))}`,
    `setpts='(${retiming(side, timeline, name)}-${graceS})/TB'`,
    `fps=${filmFps}:round=up:start_time=0`,
    'tpad=stop_mode=clone:stop=-1',
    ...(pixelAspect === 1 ? [] : [`scale=${widthPx}:${heightPx}`, 'setsar=1']),
    `crop=${source.width}:${source.height}:${source.x}:${source.y}`,
    `scale=${scaled.width}:${scaled.height}:flags=bicubic${range}`,
    ...display,
    'format=yuv420p',
    ...(layout.mirror ? ['hflip'] : []),
    `crop=${crop.width}:${crop.height}:${crop.x}:${crop.y}`,
    `pad=${layout.pane.width}:${layout.pane.height}:${pad.x}:${pad.y}:color=${background}`,
    'setsar=1',
  ];
}

/**
 * The film's time of a frame as an expression of ffmpeg in the file's time T: linear between the knots, as
 * in life outside them.
 */
export function retiming(side: FilmSide, timeline: Timeline, name: SideName): string {
  const { outS } = timeline.map;
  const { slowMotion } = side.calibration;
  const firstS = side.samples[0].ptsS;
  const fileS = timeline.map[`${name}S`].map((tS) => firstS + tS * slowMotion);
  const last = outS.length - 1;
  const number = (value: number): string => value.toFixed(9);
  const line = (i: number, slope: number): string =>
    `${number(outS[i])}+(T-(${number(fileS[i])}))*${number(slope)}`;
  let expression = line(last, 1 / slowMotion);
  for (let i = last; i >= 1; i -= 1) {
    const span = fileS[i] - fileS[i - 1];
    if (span > 0) {
      const slope = (outS[i] - outS[i - 1]) / span;
      expression = `if(lte(T,${number(fileS[i])}),${line(i - 1, slope)},${expression})`;
    }
  }
  return `if(lte(T,${number(fileS[0])}),${line(0, 1 / slowMotion)},${expression})`;
}
