import { parseArgs } from 'node:util';
import path from 'node:path';
import type { ClipFile } from '../../shared-lib/contract/clip.ts';
import { exitStatus, Failure } from '../../shared-lib/contract/errors.ts';
import { discQuestion } from '../../shared-lib/trace/disc-question.ts';
import { follow } from '../desk/follow.ts';
import type { Job } from '../desk/follow-clip.ts';
import { pair, type PairSide } from '../desk/pair.ts';
import {
  clipFlagNames,
  clipOptionNames,
  numberIn,
  readClipOptions,
  readLift,
  readOut,
  textOption,
  wholeNumber,
  type RawOptions,
} from './follow-options.ts';
import { help } from './help.ts';
import { progressLine } from './progress-line.ts';

/** Runs one command and returns its exit status. Messages go to standard error, two lines a failure. */
export async function runCommand(args: readonly string[]): Promise<number> {
  const stop = new AbortController();
  const onSignal = (): void => stop.abort();
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  const progress = progressLine(process.stderr);
  try {
    const [command, ...rest] = args;
    const job: Job = { signal: stop.signal, onProgress: (share) => progress.tell(share) };
    const { said = '', asked = [] } = await runNamed(command, rest, job);
    progress.clear();
    if (said) process.stdout.write(`${said}\n`);
    for (const line of asked) process.stderr.write(`${oneLine(line)}\n`);
    return exitStatus.done;
  } catch (error) {
    progress.clear();
    if (error instanceof Failure) {
      process.stderr.write(`${oneLine(error.what)}\n${oneLine(error.advice)}\n`);
      return stop.signal.aborted ? exitStatus.stopped : exitStatus[error.kind];
    }
    if (stop.signal.aborted) {
      process.stderr.write('Stopped before it was done.\nStart it again when you like.\n');
      return exitStatus.stopped;
    }
    return unexpected(error);
  } finally {
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}

/** What a command has to say when it is done: on standard output, and what a person should look at on standard error. */
interface Outcome {
  said?: string;
  asked?: string[];
}

async function runNamed(command: string | undefined, args: readonly string[], job: Job): Promise<Outcome> {
  switch (command) {
    case 'follow':
      return runFollow(args, job);
    case 'pair':
      return runPair(args, job);
    case 'help':
    case '--help':
    case '-h':
      return { said: help };
    case undefined:
    default:
      throw new Failure(
        'usage',
        command === undefined ? 'No command was given.' : `There is no command ${command}.`,
        'Say follow or pair; --help shows how.',
      );
  }
}

async function runFollow(args: readonly string[], job: Job): Promise<Outcome> {
  const { raw, positionals } = readWords(args, [...clipOptionNames, 'lift', 'out'], clipFlagNames);
  if (raw.help) return { said: help };
  const [clip, ...more] = positionals;
  if (clip === undefined)
    throw new Failure('usage', 'No clip was named.', 'Say follow CLIP --lift LIFT --out DIR.');
  if (more.length > 0)
    throw new Failure(
      'usage',
      `follow takes one clip, not ${positionals.length}.`,
      'Put names with spaces in quotes.',
    );
  const lift = readLift(raw);
  const out = fromCaller(readOut(raw));
  const followed = await follow(
    { clip: { file: fromCaller(clip), options: readClipOptions(raw) }, lift, out },
    job,
  );
  return { asked: questionOf(followed.clipFile, '--seed') };
}

async function runPair(args: readonly string[], job: Job): Promise<Outcome> {
  const sides = ['reference', 'today'] as const;
  const perSide = sides.flatMap((side) => [
    side,
    ...['rep', 'kg', ...clipOptionNames].map((name) => `${side}-${name}`),
  ]);
  const flags = sides.flatMap((side) => clipFlagNames.map((name) => `${side}-${name}`));
  const { raw, positionals } = readWords(args, [...perSide, 'lift', 'out'], [...flags, 'same-camera']);
  if (raw.help) return { said: help };
  if (positionals.length > 0) {
    throw new Failure(
      'usage',
      `pair does not know what to do with ${positionals[0]}.`,
      'Name the clips with --reference CLIP and --today CLIP.',
    );
  }
  const side = (name: 'reference' | 'today'): PairSide => {
    const file = textOption(raw, name);
    if (!file) throw new Failure('usage', `--${name} is missing.`, `Name the clip with --${name} CLIP.`);
    return {
      clip: { file: fromCaller(file), options: readClipOptions(raw, `${name}-`) },
      rep: wholeNumber(textOption(raw, `${name}-rep`), `--${name}-rep`, 'which rep of the clip'),
      loadKg: numberIn(
        textOption(raw, `${name}-kg`),
        `--${name}-kg`,
        1,
        1000,
        'the load on the bar in kilograms',
      ),
    };
  };
  const request = {
    reference: side('reference'),
    today: side('today'),
    lift: readLift(raw),
    out: fromCaller(readOut(raw)),
    sameCamera: raw['same-camera'] === true,
  };
  const { chosen } = await pair(request, job);
  const asked = sides.flatMap((name) =>
    questionOf(chosen[name].clip.clipFile, `--${name}-seed`).map((line) => `${name}: ${line}`),
  );
  return { asked };
}

/** One line what to look at, one line what to do, where the disc that was found may be the wrong one. */
function questionOf(clip: Pick<ClipFile, 'check' | 'calibration'>, option: string): string[] {
  const question = discQuestion(clip);
  return question ? [question.said, `${question.advice.replace(/\.$/, '')} with ${option} T,X,Y.`] : [];
}

/** Options must be known and given once; whatever else is wrong with the words is said in words. */
function readWords(
  args: readonly string[],
  withValue: readonly string[],
  flags: readonly string[],
): { raw: RawOptions; positionals: string[] } {
  const options: Record<string, { type: 'string' | 'boolean'; multiple: boolean }> = {};
  for (const name of withValue) options[name] = { type: 'string', multiple: true };
  for (const name of [...flags, 'help']) options[name] = { type: 'boolean', multiple: false };
  let parsed: { values: Record<string, unknown>; positionals: string[] };
  try {
    parsed = parseArgs({ args: joinNegative(args), options, allowPositionals: true, strict: true });
  } catch (error) {
    const reason = (error as Error).message.split('. ')[0].replace(/\.$/, '');
    throw new Failure('usage', `${reason}.`, '--help shows the options.');
  }
  const raw: Record<string, string | boolean | undefined> = {};
  for (const [name, value] of Object.entries(parsed.values)) {
    if (Array.isArray(value)) {
      if (value.length > 1)
        throw new Failure('usage', `--${name} was given ${value.length} times.`, 'Give it once.');
      const [text] = value as string[];
      raw[name] = text;
      if (raw[name] === '')
        throw new Failure('usage', `--${name} is empty.`, `Give --${name} a value, or leave it out.`);
    } else raw[name] = value as boolean;
  }
  return { raw, positionals: parsed.positionals };
}

/** A value that begins with a dash, such as a negative number, belongs to the option before it. */
function joinNegative(args: readonly string[]): string[] {
  const joined: string[] = [];
  for (const arg of args) {
    const before = joined.at(-1);
    if (/^-[\d.]/.test(arg) && before?.startsWith('--') && !before.includes('='))
      joined[joined.length - 1] = `${before}=${arg}`;
    else joined.push(arg);
  }
  return joined;
}

/** Paths are meant from the folder the user called from, which npm leaves for the package's own. */
function fromCaller(file: string): string {
  const npmFolder = process.env.npm_lifecycle_event && process.env.INIT_CWD;
  return path.resolve(npmFolder || process.cwd(), file);
}

const oneLine = (text: string): string => text.replace(/\s*\n\s*/g, ' ');

function unexpected(error: unknown): number {
  const detail = error instanceof Error ? oneLine(error.message) : String(error);
  process.stderr.write(
    `Lockstep failed: ${detail}\nThis is a fault of the program: please report it with these words.\n`,
  );
  if (process.env.LOCKSTEP_DEBUG && error instanceof Error) process.stderr.write(`${error.stack}\n`);
  return 1;
}
