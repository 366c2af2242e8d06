import {
  EncodedPacketSink,
  FilePathSource,
  Input,
  Logging,
  LogLevel,
  MATROSKA,
  MP4,
  QTFF,
  WEBM,
  type InputVideoTrack,
} from 'mediabunny';
import { captureFpsOf, captureFpsTag, type ContainerFacts } from './container-facts.ts';
import { quarterTurn } from './orientation.ts';
import { throwIfStopped } from './process.ts';

const containers: Record<string, string> = {
  MP4: 'mp4',
  'QuickTime File Format': 'mov',
  Matroska: 'matroska',
  WebM: 'webm',
};
const codecs: Record<string, string> = { avc: 'h264' };
/** WebCodecs' names that differ from ffmpeg's. */
const transfers: Record<string, string> = { pq: 'smpte2084', hlg: 'arib-std-b67' };

/**
 * Bits per sample from an RFC 6381 codec string; null where it leaves them open.
 * Profiles: H.264 Annex A (High 10 is 110, High and below have 8), H.265 Annex A (1 Main, 2 Main 10, 3 still);
 * depth fields of the VP9 and AV1 codec strings as registered with the ISO base media format. From memory.
 */
export function bitDepthOf(codecString: string): number | null {
  const fields = codecString.split('.');
  switch (fields[0]) {
    case 'avc1':
    case 'avc3': {
      const profile = Number.parseInt(fields[1]?.slice(0, 2) ?? '', 16);
      if (profile === 110) return 10;
      return profile <= 100 ? 8 : null;
    }
    case 'hvc1':
    case 'hev1':
      return { '1': 8, '2': 10, '3': 8 }[fields[1] ?? ''] ?? null;
    case 'vp8':
      return 8;
    case 'vp09':
    case 'av01':
      return Number.parseInt(fields[3] ?? '', 10) || null;
    default:
      return null;
  }
}

/**
 * Reads MP4, MOV, MKV and WebM without a program of its own. Null for every file it does not understand
 * in full (other containers, codecs it does not know, edit lists with several entries).
 */
export async function readWithMediabunny(file: string, signal?: AbortSignal): Promise<ContainerFacts | null> {
  Logging.level = LogLevel.Silent;
  let doubtful = false;
  const forget = Logging.on('warn', () => (doubtful = true));
  const input = new Input({
    source: new FilePathSource(file, { handleUnhandledError: () => (doubtful = true) }),
    formats: [MP4, QTFF, MATROSKA, WEBM],
  });
  try {
    const facts = await read(input, signal);
    return doubtful ? null : facts;
  } catch {
    throwIfStopped(signal);
    // ffprobe has the last word on what it is.
    return null;
  } finally {
    forget();
    input.dispose();
  }
}

async function read(input: Input, signal: AbortSignal | undefined): Promise<ContainerFacts | null> {
  const track = (await input.getVideoTracks()).at(0);
  const codec = await track?.getCodec();
  const codecString = await track?.getCodecParameterString();
  const container = containers[(await input.getFormat()).name];
  const bitDepth = codecString ? bitDepthOf(codecString) : null;
  if (!track || !codec || !container || bitDepth === null) return null;

  const { num, den } = await track.getPixelAspectRatio();
  const { transfer } = (await track.getColorSpace()) as { transfer?: string | null };
  const tags = (await input.getMetadataTags()).raw ?? {};
  const isIndexed = container === 'mp4' || container === 'mov';
  const span = await (isIndexed ? spanOfIndex(track, signal) : spanOfClusters(track));
  return {
    container,
    codec: codecs[codec] ?? codec,
    bitDepth,
    storedWidthPx: await track.getCodedWidth(),
    storedHeightPx: await track.getCodedHeight(),
    pixelAspect: num / den,
    turn: quarterTurn(await track.getRotation()),
    transfer: transfer ? (transfers[transfer] ?? transfer) : null,
    hasAudio: (await input.getAudioTracks()).length > 0,
    captureFps: captureFpsOf(tags[captureFpsTag]),
    ...span,
  };
}

type Span = Pick<ContainerFacts, 'declaredFrames' | 'durationS' | 'nominalFps'>;

/** From the sample table. Samples outside the edit list are decoded but never shown. */
async function spanOfIndex(track: InputVideoTrack, signal: AbortSignal | undefined): Promise<Span> {
  const endS = (await track.getDurationFromMetadata()) ?? Infinity;
  let declaredFrames = 0;
  let fromS = Infinity;
  let toS = -Infinity;
  let lastS = -Infinity;
  const packets = new EncodedPacketSink(track).packets(undefined, undefined, { metadataOnly: true });
  for await (const { timestamp, duration } of packets) {
    throwIfStopped(signal);
    // Half a microsecond: sums of fractions of a second are not exact.
    if (timestamp < -5e-7 || timestamp > endS - 5e-7) continue;
    declaredFrames += 1;
    fromS = Math.min(fromS, timestamp);
    lastS = Math.max(lastS, timestamp);
    toS = Math.max(toS, timestamp + duration);
  }
  if (declaredFrames === 0) return { declaredFrames, durationS: 0, nominalFps: 0 };
  const durationS = Math.min(toS, endS) - fromS;
  const nominalFps = declaredFrames > 1 ? (declaredFrames - 1) / (lastS - fromS) : 1 / durationS;
  return { declaredFrames, durationS, nominalFps };
}

/** Matroska has no count of frames, and finding each would mean to read the whole file. */
async function spanOfClusters(track: InputVideoTrack): Promise<Span> {
  const endS = (await track.getDurationFromMetadata()) ?? (await track.computeDuration());
  const { averagePacketRate } = await track.computePacketStats(256);
  return {
    declaredFrames: null,
    durationS: endS - (await track.getFirstTimestamp()),
    nominalFps: averagePacketRate,
  };
}
