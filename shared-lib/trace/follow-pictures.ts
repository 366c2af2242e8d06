import { extent, maxIndex, mean, minIndex } from 'd3-array';
import type { Rim } from '../contract/trace.ts';
import { sameRim } from '../picture/disc-candidates.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { addToLook, emptyLook, type DiscLook } from './disc-look.ts';
import { evidenceOf, plainBar, type FollowedDisc } from './choose-trace.ts';
import type { Seed } from './find-seeds.ts';
import {
  followInto,
  restedUntil,
  startFollowing,
  type DiscMeasurement,
  type FollowState,
} from './follow-disc.ts';

interface Follower {
  seed: Seed;
  start: number;
  state: FollowState;
  measurements: DiscMeasurement[];
  /** Measured while its rim was placed wrongly. */
  earlier: DiscMeasurement[];
  look: DiscLook;
}

/** A follower with what it has shown so far. */
interface JudgedFollower extends FollowedDisc {
  follower: Follower;
  travelM: number;
}

/** A disc followed forward from its seed; `start` is the frame it was found in. */
export interface ForwardDisc extends FollowedDisc {
  start: number;
  seed: Seed;
  look: DiscLook;
}

/** Pictures between two looks at whether the bar's disc is plain. */
const reviewEvery = 15;
const sceneryTravelM = 0.05;
/** Looks in which something moved, once the bar is plain: its larger disc, or its rim round a ring, may still turn up. */
const looksAfterPlain = 2;

/** A disc unseen for this long is given up while others are still followed. */
const giveUpS = 3;

/** Of two that come to one rim the younger goes on where its rim shows better by this factor (set by judgement). */
const farBetter = 1.25;

/** A rim that shows on less than this of its rays, in pictures that show the face, was placed wrongly. */
const misplacedShare = 0.3;

/** Whether the face was seen in the last pictures, and the rim was hardly. */
function isMisplaced({ measurements }: Follower): boolean {
  const last = measurements.slice(-reviewEvery).filter((m) => m.confidence > 0);
  return last.length >= 0.8 * reviewEvery && mean(last, (m) => m.rimShare)! < misplacedShare;
}

function followerOn(seed: Seed, image: GreyImage, ptsS: number, frame: number): Follower {
  const state = startFollowing(image, seed.rim, ptsS);
  const { measurement } = followInto(state, image, ptsS);
  const look = emptyLook(seed.rim);
  return { seed, start: frame, state, measurements: [measurement], earlier: [], look };
}

/**
 * Follows several discs at once through pictures that come one after the other, so that a clip is decoded
 * once whichever of them turns out to be the bar's.
 */
export class PictureFollower {
  private readonly waiting: Seed[];
  private followers: Follower[] = [];
  private done: Follower[] = [];
  private frame = 0;
  private looksSincePlain = 0;

  constructor(seeds: readonly Seed[]) {
    this.waiting = [...seeds].sort((a, b) => a.ptsS - b.ptsS);
  }

  /** Where discs are at this moment, for leaving them out of the background. */
  rims(): Rim[] {
    return this.current().map(({ rim }) => rim);
  }

  /** The discs that are still followed, by the seed that each began with, and where they are. */
  current(): { seed: Seed; rim: Rim }[] {
    return this.followers.map(({ seed, state }) => ({
      seed,
      rim: { ...state.rim, xPx: state.motion.xPx, yPx: state.motion.yPx },
    }));
  }

  /** The seeds of all discs that may still be chosen. */
  seeds(): Seed[] {
    return this.followed().map(({ seed }) => seed);
  }

  /** What was measured so far of the disc that travels farthest; null before the first picture. */
  foremost(): readonly DiscMeasurement[] | null {
    const travels = this.followers.map(({ measurements }) => {
      const [top = 0, bottom = 0] = extent(measurements, ({ yPx }) => yPx);
      return bottom - top;
    });
    return this.followers[maxIndex(travels)]?.measurements ?? null;
  }

  push(image: GreyImage, ptsS: number): void {
    for (const follower of this.followers) {
      const step = followInto(follower.state, image, ptsS);
      follower.state = step.state;
      follower.measurements.push(step.measurement);
      addToLook(follower.look, image, step, this.frame);
    }
    while (this.waiting.length > 0 && this.waiting[0].ptsS <= ptsS + 1e-6)
      this.start(this.waiting.shift()!, image, ptsS, this.frame);
    this.prune();
    if (this.frame % reviewEvery === 0 && this.followers.length > 1) this.dropOthers();
    this.frame++;
  }

  /**
   * Counts pictures that nobody looks at, since nothing in them moves.
   * @param lastS time of the last of them
   */
  passOver(count: number, lastS: number): void {
    for (const follower of this.followers) follower.state = restedUntil(follower.state, lastS);
    this.frame += count;
  }

  /** Whether the bar's disc is plain and what else moved has been looked at since: nothing more is looked for. */
  isSettled(): boolean {
    return this.looksSincePlain >= looksAfterPlain;
  }

  /** Starts on discs in the picture last pushed that are not followed yet, in place of ones that have not moved. */
  addSeeds(seeds: readonly Seed[], image: GreyImage, ptsS: number, most: number): void {
    if (seeds.length > 0 && plainBar(this.evidence())) this.looksSincePlain++;
    for (const seed of seeds.slice(0, most)) {
      if (this.followers.length >= 2 * most && !this.dropStandstill()) return;
      this.start(seed, image, ptsS, this.frame - 1);
    }
  }

  /** The discs with one measurement per picture that was looked at, from their start on. */
  finish(): ForwardDisc[] {
    return this.followed().map(({ seed, start, measurements, earlier, look }) => ({
      rim: seed.rim,
      seed,
      start,
      measurements,
      earlier,
      look,
    }));
  }

  private followed(): Follower[] {
    return [...this.followers, ...this.done];
  }

  private start(seed: Seed, image: GreyImage, ptsS: number, frame: number): void {
    const rims = this.rims();
    const twin = this.followers.find((_, i) => sameRim(rims[i], seed.rim));
    if (!twin) this.followers.push(followerOn(seed, image, ptsS, frame));
    else if (isMisplaced(twin) && seed.strength > twin.seed.strength)
      this.replace(twin, seed, image, ptsS, frame);
  }

  /** Goes on from a better placed rim; what was followed so far says where the disc travelled. */
  private replace(old: Follower, seed: Seed, image: GreyImage, ptsS: number, frame: number): void {
    const follower = followerOn(seed, image, ptsS, frame);
    follower.earlier = before(follower, old);
    this.followers = this.followers.map((other) => (other === old ? follower : other));
  }

  private evidence(): JudgedFollower[] {
    return this.followed().map((follower) => {
      const { measurements, earlier } = follower;
      const disc = { follower, rim: follower.seed.rim, measurements, earlier };
      return { ...disc, travelM: evidenceOf(disc).travelM };
    });
  }

  /** Gives up the faintest of the discs that have stood still; false where none has. */
  private dropStandstill(): boolean {
    const still = this.followers.filter(
      ({ seed, measurements }) =>
        measurements.length >= reviewEvery &&
        evidenceOf({ rim: seed.rim, measurements }).travelM < sceneryTravelM,
    );
    const faintest = still[minIndex(still, ({ seed }) => seed.strength)];
    this.followers = this.followers.filter((follower) => follower !== faintest);
    return faintest !== undefined;
  }

  /** Once a bar has travelled, only the disc that would be chosen now goes on, and larger ones that travel and may yet be. */
  private dropOthers(): void {
    const discs = this.evidence();
    const chosen = plainBar(discs);
    if (!chosen) return;
    // By its own size a larger disc round a ring has not travelled as far yet: pixels say whether it goes with it.
    const pixels = ({ rim, travelM }: JudgedFollower): number => travelM * rim.aPx;
    const travels = (d: JudgedFollower): boolean =>
      d.travelM > sceneryTravelM || pixels(d) > 0.5 * pixels(chosen);
    const kept = discs.filter((d) => d === chosen || (d.rim.aPx > chosen.rim.aPx && travels(d)));
    const isKept = (follower: Follower): boolean => kept.some((d) => d.follower === follower);
    this.followers = this.followers.filter(isKept);
    this.done = this.done.filter(isKept);
  }

  /** Two followers on one rim are one, the one whose rim shows better; a disc long unseen is given up unless it is the only one. */
  private prune(): void {
    const rims = this.rims();
    const all = this.followers;
    this.followers = all.filter((follower, i) => {
      const heir = all.find(
        (other, j) => j !== i && sameRim(rims[j], rims[i]) && goesOn(other, follower, j < i),
      );
      if (heir) {
        heir.earlier.unshift(...before(heir, follower));
        return false;
      }
      const isStray = follower.state.unseenS > giveUpS && all.length > 1;
      if (isStray) this.done.push(follower);
      return !isStray;
    });
  }
}

/** What another follower measured before one began. */
const before = (
  { measurements: [first] }: Follower,
  { earlier, measurements }: Follower,
): DiscMeasurement[] => [...earlier, ...measurements].filter(({ tS }) => tS < first.tS);

/** Whether of two followers on one rim the first goes on: the older, unless the rim of the other has shown far better. */
const goesOn = (one: Follower, other: Follower, isOlder: boolean): boolean =>
  isOlder ? !showsFarBetter(other, one) : showsFarBetter(one, other);

/** False also where too few pictures showed either disc: that it was hidden says nothing of where its rim was placed. */
function showsFarBetter(one: Follower, other: Follower): boolean {
  const [shown, itsShown] = [one, other].map(({ measurements }) => {
    const seen = measurements.filter(({ confidence }) => confidence > 0);
    return seen.length < reviewEvery / 2 ? NaN : mean(seen, ({ rimShare }) => rimShare)!;
  });
  return shown > farBetter * itsShown;
}
