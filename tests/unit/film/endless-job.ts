/** A program of its own for the test of a killed parent: an encoder that would run for an hour. */
import { runJob } from '../../../electron/media/ffmpeg-job.ts';

const [ffmpeg, output] = process.argv.slice(2);
await runJob(
  {
    ffmpeg,
    inputs: [{ options: ['-nostdin', '-re', '-f', 'lavfi'], source: 'testsrc2=size=64x64:duration=3600' }],
    options: ['-progress', 'pipe:2', '-f', 'matroska'],
    output,
  },
  { onLine: (line) => line.startsWith('frame=') && process.stdout.write('running\n') },
);
