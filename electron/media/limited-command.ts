export interface ChildLimits {
  /** Address space, bytes. */
  addressBytes: number;
  /** Largest file that it may write, bytes. */
  fileBytes: number;
}

/** The shell sets the limits and becomes the program; where a system knows a limit not, the others still hold. */
const posixScript =
  'ulimit -c 0 2>/dev/null; ulimit -v "$1" 2>/dev/null; ulimit -f "$2" 2>/dev/null; shift 2; exec "$@"';

/** A program under limits that the operating system keeps; as it is on Windows, which has none of this kind. */
export function limitedCommand(
  program: string,
  args: readonly string[],
  limits: ChildLimits,
  platform: NodeJS.Platform,
): { program: string; args: readonly string[] } {
  if (platform === 'win32') return { program, args };
  const addressKiB = String(Math.ceil(limits.addressBytes / 1024));
  // POSIX counts file sizes in blocks of 512 bytes.
  const fileBlocks = String(Math.ceil(limits.fileBytes / 512));
  return { program: 'sh', args: ['-c', posixScript, 'limits', addressKiB, fileBlocks, program, ...args] };
}
