export interface ProgressLine {
  tell(share: number): void;
  clear(): void;
}

/** One line on a terminal that tells how far a job is; nothing in a pipe. */
export function progressLine(stream: NodeJS.WriteStream): ProgressLine {
  let shown = -1;
  return {
    tell(share) {
      const percent = Math.floor(100 * share);
      if (!stream.isTTY || percent === shown) return;
      shown = percent;
      const filled = Math.round(share * 24);
      stream.write(`\r${'='.repeat(filled)}${'-'.repeat(24 - filled)} ${percent} %\u001B[K`);
    },
    clear() {
      if (stream.isTTY && shown >= 0) stream.write('\r\u001B[K');
      shown = -1;
    },
  };
}
