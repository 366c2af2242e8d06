import { least, max, quantile, range } from 'd3-array';

/**
 * When the pictures of a film that was brought to another frame rate were taken: every 1/fps seconds, one of them at
 * -phase/fps. A frame stamped t shows the latest of them, number floor(t fps + phase).
 */
export interface PictureClock {
  fps: number;
  /** Pictures, 0 to 1. */
  phase: number;
}

/** What is known of a frame: it repeats the picture before it, it shows another one, or (null) neither. */
export type Novelty = 'repeat' | 'new' | null;

/** Two repeats fix a clock's rate and phase, so any two fit one; as many as this do not by chance. */
const fewestRepeats = 6;
/** A clock may leave this share of the frames known unexplained, and as many as this share of the repeats found. */
const mostUnexplained = 0.03;
const mostUnexplainedRepeats = 0.15;
/** A converted film shows a picture in up to this many frames; at the other end it repeats at least one frame in this many. */
const mostShown = 4;
const rarestRepeat = 40;
/** Rates that cameras capture at, pictures a second: common practice. Of rates that explain as much, one of these it is. */
const usualFps = [24000 / 1001, 24, 25, 30000 / 1001, 30, 48, 50, 60000 / 1001, 60, 100, 120];
/** Frames by which most rates are told to be wrong, of however many, about (set by judgement: the outcome is the same with any). */
const enoughToDoubt = 120;
const goldenSection = (Math.sqrt(5) - 1) / 2;
/** Parts of a picture's time in which the phase is told apart. */
const phases = 240;

/**
 * The clock that explains which frames repeat, or null where none does: single repeats of a recorder that fell behind
 * follow no clock, and there each other picture was taken at its own stamp. All rates and phases are tried: a repeat
 * says that no picture was taken between its stamp and the one before, a new picture that one was. What the pattern
 * leaves open of rate and phase is settled in its middle. A delay common to all pictures cannot be seen in a film.
 *
 * @param ptsS time stamps of all frames, seconds, increasing
 */
export function pictureClock(ptsS: readonly number[], novelty: readonly Novelty[]): PictureClock | null {
  const known = novelty.flatMap((n, i) => (n === null || i === 0 ? [] : [i]));
  const repeats = known.filter((i) => novelty[i] === 'repeat').length;
  if (repeats < fewestRepeats) return null;
  const [first, last] = [known[0], known[known.length - 1]];
  const shownFps = (ptsS.length - 1) / (ptsS[ptsS.length - 1] - ptsS[0]);
  // Phases are told at the middle of what is known, so that an error of the rate does not pass into them.
  const midS = (ptsS[first] + ptsS[last]) / 2;
  const votes = new PhaseVotes();
  const votesAt = (fps: number, of: readonly number[] = known): PhaseVotes => {
    votes.clear();
    for (const i of of) {
      const [before, at] = [(ptsS[i - 1] - midS) * fps, (ptsS[i] - midS) * fps];
      votes.add(-at, at - before, novelty[i] === 'new');
    }
    return votes;
  };
  // Steps that move the ends of what is known by a twentieth of a picture against its middle.
  const stepFps = 0.1 / (ptsS[last] - ptsS[first - 1]);
  const [leastFps, mostFps] = [shownFps / mostShown, shownFps * (1 - 1 / rarestRepeat)];
  // By the golden section, so that they follow no pattern of the film's.
  const few = known.filter((_, k) => fraction(k * goldenSection) < enoughToDoubt / known.length);
  const mayLeave = Math.min(mostUnexplained * known.length, mostUnexplainedRepeats * repeats);
  const tried = [
    ...range(leastFps, mostFps, stepFps),
    ...usualFps.filter((fps) => fps >= leastFps && fps <= mostFps),
  ]
    // Most rates leave more unexplained of a few already than they may of all.
    .filter((fps) => few.length - votesAt(fps, few).most() <= mayLeave)
    .map((fps) => ({ fps, votes: votesAt(fps).most() }));
  const most = max(tried, (one) => one.votes);
  if (most === undefined || known.length - most > mayLeave) return null;
  const open = tried.flatMap((one) => (one.votes === most ? [one.fps] : []));
  const middleFps = quantile(open, 0.5)!;
  const usual = open.filter((fps) => usualFps.includes(fps));
  const fps = least(usual, (one) => Math.abs(one - middleFps)) ?? middleFps;
  return { fps, phase: fraction(middleOfMost(votesAt(fps).counted()) - midS * fps) };
}

/** Number of the picture that a frame shows. */
export const pictureAt = ({ fps, phase }: PictureClock, ptsS: number): number =>
  Math.floor(ptsS * fps + phase);

/** When the picture that a frame shows was taken, seconds of the film's own time. */
export const takenS = (clock: PictureClock, ptsS: number): number =>
  (pictureAt(clock, ptsS) - clock.phase) / clock.fps;

/** How many of the frames known agree with each phase of one rate. */
class PhaseVotes {
  private readonly change = new Int32Array(phases + 1);
  private always = 0;

  clear(): void {
    this.change.fill(0);
    this.always = 0;
  }

  /** A picture was taken (or none was, `inside` false) in a time that phases from `from` on, over `length`, put it in. */
  add(from: number, length: number, inside: boolean): void {
    const sign = inside ? 1 : -1;
    if (!inside) this.always++;
    const start = Math.round(fraction(from) * phases);
    const end = start + Math.min(phases, Math.round(length * phases));
    this.change[start] += sign;
    this.change[Math.min(end, phases)] -= sign;
    if (end <= phases) return;
    this.change[0] += sign;
    this.change[end - phases] -= sign;
  }

  /** How many agree with the phase that most agree with. */
  most(): number {
    let sum = this.always;
    let most = 0;
    for (let phase = 0; phase < phases; phase++) {
      sum += this.change[phase];
      if (sum > most) most = sum;
    }
    return most;
  }

  counted(): Int32Array {
    let sum = this.always;
    return this.change.subarray(0, phases).map((change) => (sum += change));
  }
}

/** Middle of the longest stretch of phases with the most votes, round the circle; pictures. */
function middleOfMost(votes: Int32Array): number {
  const most = max(votes)!;
  let longest = { from: 0, length: 0 };
  for (let from = 0; from < phases; from++) {
    let length = 0;
    while (length < phases && votes[(from + length) % phases] === most) length++;
    if (length > longest.length) longest = { from, length };
  }
  return (longest.from + longest.length / 2) / phases;
}

const fraction = (x: number): number => x - Math.floor(x);
