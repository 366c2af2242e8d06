import { mkdir, mkdtemp, rename, rm, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { mapTime } from '../../shared-lib/pair/time-map.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { packedResource } from '../packed-resource.ts';
import { assScript } from './ass.ts';
import { assertThere } from './clip-input.ts';
import { captionEvents, styles } from './film-captions.ts';
import { filmJob } from './film-job.ts';
import { filmFrames } from './film-frame.ts';
import { layOutPanes } from './film-layout.ts';
import { originsOf } from './film-origin.ts';
import { pathEvents } from './film-paths.ts';
import type { FilmSpec } from './film-spec.ts';
import { filmFps, layOutTime, type Timeline } from './film-timeline.ts';
import { filtersOf, runJob } from './ffmpeg-job.ts';
import { throwIfStopped } from './process.ts';

export interface FilmOptions {
  ffmpeg: string;
  signal?: AbortSignal;
  /** 0 to 1. */
  onProgress?: (share: number) => void;
  /** Makes one picture of the film instead, a PNG: at this time of the reference, real seconds. */
  stillAtS?: number;
}

/** Folder of the fonts that come with the program. */
function fontsFolder(): string {
  const packed = packedResource('fonts');
  if (packed !== null) return packed;
  const require = createRequire(import.meta.url);
  return path.join(path.dirname(require.resolve('dejavu-fonts-ttf/package.json')), 'ttf');
}

/**
 * Writes the film of both reps: side by side or one above the other, their events at the same moments, the bar at one
 * scale, cues written in. H.264 in MP4, 1080p, 30 pictures a second, without sound. No picture
 * is invented: each pane shows the frame of its clip whose interval holds the moment.
 *
 * The file stands under its name only when it is whole.
 *
 * @throws Failure 'stopped'; 'usage' where the knots cannot be matched; 'unusableFile' where a
 *   clip is gone or this ffmpeg lacks what the film needs; ChildError when ffmpeg fails
 */
export async function makeFilm(spec: FilmSpec, outPath: string, options: FilmOptions): Promise<void> {
  const { ffmpeg, signal, onProgress, stillAtS } = options;
  throwIfStopped(signal);
  await Promise.all([spec.reference, spec.today].map((side) => assertThere(side.path)));
  const timeline = layOutTime(spec);
  const origins = originsOf(spec);
  const layouts = layOutPanes(spec, origins, timeline.shown);
  const filters = await filtersOf(ffmpeg);
  if (!filters.has('ass')) {
    throw new Failure(
      'unusableFile',
      'This ffmpeg cannot draw captions, which the film needs.',
      'Install an ffmpeg that was built with libass, as the common packages are.',
    );
  }
  const partial = `${outPath}.partial`;
  const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-film-'));
  try {
    const events = [...pathEvents(spec, timeline, layouts, origins), ...captionEvents(spec, timeline)];
    const script = path.join(folder, 'film.ass');
    await writeFile(script, assScript(filmFrames[spec.shape ?? 'landscape'], styles, events));
    await mkdir(path.dirname(path.resolve(outPath)), { recursive: true });
    const files = { script, fonts: fontsFolder(), output: path.resolve(partial) };
    const only = stillAtS === undefined ? null : pictureAt(timeline, stillAtS);
    await runJob(filmJob(spec, timeline, layouts, files, ffmpeg, filters, only), {
      signal,
      onLine(line) {
        const done = picturesDone(line);
        if (done !== null) onProgress?.(Math.min(1, done / timeline.pictures));
      },
    });
    await rename(partial, outPath);
    onProgress?.(1);
  } finally {
    await rm(folder, { recursive: true, force: true });
    await rm(partial, { force: true });
  }
}

/** The picture of the film that shows a time of the reference. */
function pictureAt({ map, pictures }: Timeline, referenceS: number): number {
  const at = Math.round(filmFps * mapTime(map.referenceS, map.outS, referenceS));
  return Math.min(Math.max(at, 0), pictures - 1);
}

/** The number of pictures written so far in a line that ffmpeg's `-progress` writes; null in any other. */
export function picturesDone(line: string): number | null {
  const match = /^frame=\s*(\d+)$/.exec(line.trim());
  return match ? Number(match[1]) : null;
}
