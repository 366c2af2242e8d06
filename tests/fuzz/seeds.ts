import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync } from 'node:fs';
import path from 'node:path';

export interface Seed {
  /** With the extension of its container. */
  name: string;
  bytes: Buffer;
}

const h264 = ['-c:v', 'libx264', '-preset', 'veryfast', '-pix_fmt', 'yuv420p'];

/** Every container that is supported, each with the codecs that are met in it. */
const kinds: { name: string; encoder?: string; args: string[] }[] = [
  { name: 'plain.mp4', args: h264 },
  { name: 'fast.mp4', args: [...h264, '-movflags', '+faststart'] },
  { name: 'fragments.mp4', args: [...h264, '-movflags', '+frag_keyframe+empty_moov'] },
  { name: 'plain.mov', args: [...h264, '-metadata', 'title=A title'] },
  { name: 'part2.mov', args: ['-c:v', 'mpeg4'] },
  { name: 'plain.mkv', args: h264 },
  { name: 'jpeg.avi', args: ['-c:v', 'mjpeg', '-pix_fmt', 'yuvj420p'] },
  { name: 'part2.avi', args: ['-c:v', 'mpeg4', '-vtag', 'xvid'] },
  { name: 'part2.3gp', args: ['-c:v', 'mpeg4', '-an'] },
  {
    name: 'hevc.mp4',
    encoder: 'libx265',
    args: ['-c:v', 'libx265', '-preset', 'ultrafast', '-tag:v', 'hvc1'],
  },
  { name: 'vp8.webm', encoder: 'libvpx', args: ['-c:v', 'libvpx', '-cpu-used', '8'] },
  { name: 'vp9.webm', encoder: 'libvpx-vp9', args: ['-c:v', 'libvpx-vp9', '-cpu-used', '8'] },
  { name: 'prores.mov', encoder: 'prores_ks', args: ['-c:v', 'prores_ks'] },
];

/** Small clips with sound in every supported container, made in a folder. */
export function makeSeeds(folder: string, ffmpeg: string): Seed[] {
  const encoders = execFileSync(ffmpeg, ['-hide_banner', '-encoders'], { encoding: 'utf8' });
  mkdirSync(folder, { recursive: true });
  return kinds
    .filter(({ encoder }) => encoder === undefined || encoders.includes(` ${encoder} `))
    .map(({ name, args }) => {
      const file = path.join(folder, name);
      const picture = ['-f', 'lavfi', '-i', 'testsrc2=s=96x64:r=30:d=0.5'];
      const sound = ['-f', 'lavfi', '-i', 'sine=r=8000:d=0.5'];
      const coder = name.endsWith('.webm') ? ['-c:a', 'libopus'] : ['-c:a', 'aac'];
      const quiet = args.includes('-an');
      const inputs = quiet ? picture : [...picture, ...sound];
      const made = [
        '-v',
        'error',
        '-nostdin',
        '-y',
        ...inputs,
        ...args,
        ...(quiet ? [] : coder),
        `file:${file}`,
      ];
      execFileSync(ffmpeg, made, { stdio: ['ignore', 'ignore', 'ignore'] });
      return { name, bytes: readFileSync(file) };
    });
}
