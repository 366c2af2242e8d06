import {
  answerSchema,
  type Answer,
  commands,
  type CommandName,
  type DeskEvent,
  type InputOf,
  type OutputOf,
  type TracedPoints,
} from '../../shared-lib/contract/desk.ts';
import type { ClipRef, SideName } from '../../shared-lib/contract/review.ts';

/** What a shell must carry; everything that crosses is checked on both sides. */
export interface Transport {
  call(message: { command: CommandName; job: string; input: unknown }): Promise<unknown>;
  stop(job: string): void;
  listen(listener: (event: DeskEvent) => void): () => void;
  /** Takes in a file that was dropped or chosen. */
  sendClip(file: File, onProgress: (share: number) => void, signal: AbortSignal): Promise<ClipRef>;
  /** Takes in a lifter's zip that was chosen; answers the lifter. */
  sendLifter(file: File, signal: AbortSignal): Promise<unknown>;
  /** Address of a frame's picture. */
  stillUrl(sha256: string, frame: number, widthPx: number | null): string;
  /** Address of a file that was made to be handed back. */
  handedBackUrl(id: string, name: string): string;
  /** Copies such files to a folder that the user chooses; answers which, null where none was. A browser downloads instead. */
  placeFiles?(id: string, names: readonly string[]): Promise<string | null>;
}

/** A clip whose file is no longer where it was. */
export interface LostClip {
  sha256: string;
  name: string;
}

/** What went wrong, as one sentence, and what to do, as another. */
export class DeskFailure extends Error {
  constructor(
    readonly kind: string,
    readonly what: string,
    readonly advice: string,
    readonly lost: LostClip | null = null,
  ) {
    super(`${what} ${advice}`);
    this.name = 'DeskFailure';
  }
}

/** What was asked for. @throws DeskFailure */
export function outputOf(answer: Answer): unknown {
  if (answer.kind === 'done') return answer.output;
  const { kind, what, advice, lost } = answer.failure;
  throw new DeskFailure(kind, what, advice, lost ?? null);
}

let jobs = 0;

export class Bridge {
  constructor(readonly transport: Transport) {}

  /** Runs a command; `signal` stops it, `onProgress` hears how far it is, 0 to 1. */
  async call<Name extends CommandName>(
    command: Name,
    input: InputOf<Name>,
    options: {
      signal?: AbortSignal;
      onProgress?: (share: number) => void;
      onTraced?: (points: TracedPoints, side: SideName | null) => void;
    } = {},
  ): Promise<OutputOf<Name>> {
    if (options.signal?.aborted)
      throw new DeskFailure('stopped', 'Stopped.', 'Start it again when you like.');
    const job = `${command}-${++jobs}-${Math.random().toString(36).slice(2, 8)}`;
    const stop = (): void => this.transport.stop(job);
    options.signal?.addEventListener('abort', stop, { once: true });
    const unlisten = this.transport.listen((event) => {
      if (event.job !== job) return;
      if (event.type === 'progress') options.onProgress?.(event.share);
      else options.onTraced?.(event.points, event.side);
    });
    try {
      const answer = answerSchema.parse(await this.transport.call({ command, job, input }));
      return commands[command].output.parse(outputOf(answer)) as OutputOf<Name>;
    } finally {
      options.signal?.removeEventListener('abort', stop);
      unlisten();
    }
  }
}
