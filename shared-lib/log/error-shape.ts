import type { ErrorShape } from '../contract/log.ts';

/** What may be told of an error: words of the program and of its platform, never words from outside. */
export interface KnownWords {
  /** Names of the program's own script files. */
  scripts: ReadonlySet<string>;
  /** The system's error codes, ENOENT and the like. */
  codes: ReadonlySet<string>;
}

const names = new Set([
  ...['Error', 'TypeError', 'RangeError', 'ReferenceError', 'SyntaxError', 'AggregateError', 'AbortError'],
  ...['Failure', 'ChildError', 'ZodError', 'DataCloneError'],
]);
/** Codes of Node itself that tell something; there is no list of them to ask for. */
const nodeCodes = new Set([
  ...['ERR_WORKER_OUT_OF_MEMORY', 'ERR_WORKER_INIT_FAILED', 'ERR_OUT_OF_RANGE', 'ERR_INVALID_ARG_TYPE'],
  ...['ERR_INVALID_ARG_VALUE', 'ERR_STREAM_PREMATURE_CLOSE', 'ERR_STREAM_DESTROYED', 'ERR_BUFFER_TOO_LARGE'],
]);
const mostPlaces = 12;

/**
 * An error without anything that a person wrote or a disk is called: every word of it is one of those known. Messages
 * are left out whole, since no rule tells a lifter's name in one from any other word.
 */
export function errorShape(error: unknown, { scripts, codes }: KnownWords): ErrorShape {
  const { name, code, stack } = (error ?? {}) as { name?: unknown; code?: unknown; stack?: unknown };
  const isCode = typeof code === 'string' && (codes.has(code) || nodeCodes.has(code));
  return {
    name: typeof name === 'string' && names.has(name) ? name : 'other',
    code: isCode ? code : null,
    at: typeof stack === 'string' ? placesIn(stack, scripts) : [],
  };
}

function placesIn(stack: string, scripts: ReadonlySet<string>): string[] {
  const places: string[] = [];
  for (const [, file, line, column] of stack.matchAll(/([\w.-]{1,80}):(\d{1,6}):(\d{1,6})\)?$/gm)) {
    if (scripts.has(file)) places.push(`${file}:${line}:${column}`);
  }
  return places.slice(0, mostPlaces);
}
