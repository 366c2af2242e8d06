import path from 'node:path';
import { z } from 'zod';
import { inputArguments } from './arguments.ts';
import { captureFpsOf, captureFpsTag, type ContainerFacts } from './container-facts.ts';
import { explainError } from './explain.ts';
import { programLimits, readerOptions } from './limits.ts';
import { turnFromFfprobe } from './orientation.ts';
import { runChild } from './process.ts';

const ratioSchema = z
  .string()
  .transform((text) => {
    const [over, under] = text.split(/[:/]/).map(Number);
    return over / under;
  })
  .optional();

/** The part of ffprobe's report that is used; numbers come as text. */
const reportSchema = z.object({
  streams: z.array(
    z.object({
      index: z.number(),
      codec_type: z.string().optional(),
      codec_name: z.string().optional(),
      width: z.number().default(0),
      height: z.number().default(0),
      pix_fmt: z.string().default(''),
      sample_aspect_ratio: ratioSchema,
      avg_frame_rate: ratioSchema,
      r_frame_rate: ratioSchema,
      color_transfer: z.string().optional(),
      duration: z.coerce.number().optional(),
      nb_frames: z.coerce.number().optional(),
      disposition: z.object({ attached_pic: z.number() }).optional(),
      side_data_list: z.array(z.object({ rotation: z.number().optional() })).default([]),
      tags: z.record(z.string(), z.string()).default({}),
    }),
  ),
  format: z.object({
    format_name: z.string(),
    duration: z.coerce.number().optional(),
    start_time: z.coerce.number().optional(),
    tags: z.record(z.string(), z.string()).default({}),
  }),
});
/** Arguments for the report on format and streams. */
export function reportArguments(file: string): string[] {
  return ['-v', 'error', '-print_format', 'json', '-show_format', '-show_streams', ...inputArguments(file)];
}

/** Arguments that list the flags of each packet of a stream, to tell those an edit list cuts off. */
export function packetArguments(file: string, streamIndex: number): string[] {
  const what = ['-select_streams', String(streamIndex), '-show_entries', 'packet=flags', '-of', 'csv=p=0'];
  return ['-v', 'error', ...what, ...inputArguments(file)];
}

/** Bits per sample from a pixel format's name: "yuv420p10le" has 10, "yuv420p" has 8. */
export function bitDepthOfPixelFormat(name: string): number {
  return Number(/(9|10|12|14|16)[lb]e$/.exec(name)?.[1] ?? 8);
}

function containerOf(formatName: string, brand: string | undefined, file: string): string {
  if (formatName.startsWith('mov')) return brand?.trim() === 'qt' ? 'mov' : 'mp4';
  if (formatName.startsWith('matroska'))
    return path.extname(file).toLowerCase() === '.webm' ? 'webm' : 'matroska';
  return formatName;
}

/** The facts in a report, and the index of the stream they are of; null where no stream has moving pictures. */
export function factsOfReport(
  report: unknown,
  file: string,
): { facts: ContainerFacts; streamIndex: number } | null {
  const { streams, format } = reportSchema.parse(report);
  const video = streams.find((stream) => stream.codec_type === 'video' && !stream.disposition?.attached_pic);
  if (!video) return null;
  const rate = [video.avg_frame_rate, video.r_frame_rate].find((fps) => fps && Number.isFinite(fps));
  const endS = format.duration ?? 0;
  const facts: ContainerFacts = {
    container: containerOf(format.format_name, format.tags['major_brand'], file),
    codec: video.codec_name ?? 'unknown',
    bitDepth: bitDepthOfPixelFormat(video.pix_fmt),
    storedWidthPx: video.width,
    storedHeightPx: video.height,
    pixelAspect: video.sample_aspect_ratio || 1,
    turn: turnFromFfprobe(video.side_data_list.find((data) => data.rotation !== undefined)?.rotation ?? 0),
    transfer: video.color_transfer && video.color_transfer !== 'unknown' ? video.color_transfer : null,
    hasAudio: streams.some((stream) => stream.codec_type === 'audio'),
    declaredFrames: video.nb_frames || null,
    durationS: video.duration ?? endS,
    nominalFps: rate ?? 0,
    captureFps: captureFpsOf(format.tags[captureFpsTag]),
  };
  return { facts, streamIndex: video.index };
}

/**
 * Reads whatever ffprobe can.
 * @throws Failure 'unusableFile' with what is wrong with the file, or 'stopped'
 */
export async function readWithFfprobe(
  ffprobe: string,
  file: string,
  signal?: AbortSignal,
): Promise<ContainerFacts | null> {
  try {
    const { stdout } = await runChild(ffprobe, reportArguments(file), {
      ...{ ...readerOptions, signal, mostOutput: programLimits.reportLength },
    });
    const read = factsOfReport(JSON.parse(stdout), file);
    if (!read) return null;
    const { facts, streamIndex } = read;
    if (facts.container !== 'mp4' && facts.container !== 'mov') return facts;
    // nb_frames counts the samples an edit list cuts off, too.
    let declaredFrames = 0;
    const onLine = (flags: string): void => void (declaredFrames += flags.includes('D') ? 0 : 1);
    await runChild(ffprobe, packetArguments(file, streamIndex), { ...readerOptions, signal, onLine });
    return { ...facts, declaredFrames };
  } catch (error) {
    throw explainError(file, error);
  }
}
