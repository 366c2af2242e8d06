/**
 * Reads frame times from the lines that ffmpeg's showinfo filter writes: `push` takes any line of standard
 * error and gives the time stamp of the frame it announces (seconds of file time, NaN for a frame without
 * one), or null for every other line. The time base comes before the frames it holds for, and may change.
 */
export function showinfoReader(): { push: (line: string) => number | null } {
  let secondsPerTick = NaN;
  return {
    push(line) {
      if (!line.includes('showinfo')) return null;
      const base = /config in time_base: (\d+)\/(\d+)/.exec(line);
      if (base) {
        secondsPerTick = Number(base[1]) / Number(base[2]);
        return null;
      }
      const frame = /\] n: *\d+ pts: *(-?\d+|NOPTS) /.exec(line);
      return frame ? Number(frame[1]) * secondsPerTick : null;
    },
  };
}
