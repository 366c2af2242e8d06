import type { Lift } from '../contract/lift.ts';
import type { RuleView } from '../contract/rules.ts';
import {
  creaseSentence,
  fallSentence,
  lockoutSentence,
  pauseSentence,
  pointSentences,
  stopSentence,
  type RuleEvidence,
} from './evidence.ts';

const notListened = 'Nothing of this: the program listens to no clip.';

interface Rule extends Omit<RuleView, 'shows'> {
  shows: (evidence: RuleEvidence) => string[];
}

/**
 * What referees of powerlifting look at, in our own words, after the IPF Technical Rules Book and rule sets of other
 * federations, read in secondary copies. The federation's current rulebook is the authority, and a clip is no ruling.
 */
const rules: Record<Lift, readonly Rule[]> = {
  squat: [
    {
      name: 'depth',
      looksAt:
        'At the bottom the top of the leg at the hip joint has to come lower than the top of the knee.',
      differs: 'Wording and strictness vary; no rulebook we know gives a distance.',
      shows: creaseSentence,
      cannotShow:
        'Referees sit at both sides and in front; one camera sees one side, and cloth hides the crease.',
    },
    {
      name: 'downward movement',
      looksAt:
        'On the way up the bar must not come down again, and a second try out of the bottom does not count.',
      differs: 'Some rule sets let the bar stop as long as it does not fall.',
      shows: (e) => [
        ...fallSentence('On the way up the bar came down', e, 'fall_m'),
        ...stopSentence(e),
        ...(e.earlierAttempts > 0
          ? [`There were ${e.earlierAttempts} earlier attempts out of the bottom.`]
          : []),
      ],
      cannotShow: 'The bar’s other end, which may have come down alone.',
    },
    {
      name: 'start and end',
      looksAt: 'The lifter stands upright and still with the knees locked before the start and at the end.',
      differs: null,
      shows: (e) => [...lockoutSentence(e), ...pointSentences(e, 'knee', 'hip')],
      cannotShow:
        'A knee that is bent a little looks straight through cloth, or in a leg that is turned outward.',
    },
    {
      name: 'feet',
      looksAt:
        'The feet do not step between the start and the rack command; rocking from heel to ball is allowed.',
      differs: 'How much movement of a foot is tolerated differs.',
      shows: (e) => pointSentences(e, 'heel', 'toe'),
      cannotShow: 'The far foot.',
    },
    {
      name: 'commands',
      looksAt: 'The lifter waits for the command to squat and for the command to rack the bar.',
      differs: 'Which commands are given differs.',
      shows: () => [notListened],
      cannotShow: 'Commands are not heard or read by the program.',
    },
  ],
  bench: [
    {
      name: 'pause',
      looksAt: 'The bar lies still on the chest, or the belly above the belt, before the command to press.',
      differs:
        'How long a referee waits differs from one referee to the next; no rulebook we know gives a time.',
      shows: (e) => [
        ...pauseSentence(e),
        ...fallSentence('After touching, the bar sank', e, 'sink_m'),
        ...fallSentence('Before the press the bar was heaved', e, 'heave_m'),
      ],
      cannotShow:
        'When the command came; whether the bar touched at all, if the chest is hidden behind the disc.',
    },
    {
      name: 'downward movement',
      looksAt: 'While it is pressed the bar must not come down.',
      differs: 'Some rule sets let the bar stop as long as it does not fall.',
      shows: (e) => [...fallSentence('While pressed, the bar came down', e, 'fall_m'), ...stopSentence(e)],
      cannotShow: 'The bar’s other end: an uneven press looks even from one side.',
    },
    {
      name: 'head, shoulders and hips',
      looksAt: 'Head, shoulders and buttocks stay on the bench from the start to the rack command.',
      differs: 'Some federations let the head come up.',
      shows: (e) => pointSentences(e, 'head', 'shoulder', 'hip'),
      cannotShow: 'A small lift behind the disc, the rack or a loose shirt.',
    },
    {
      name: 'feet',
      looksAt: 'The feet stay flat on the floor; they may shift as long as they stay flat.',
      differs: 'Some federations let the lifter stand on the toes, or move the legs.',
      shows: (e) => pointSentences(e, 'heel', 'toe'),
      cannotShow: 'The far foot.',
    },
    {
      name: 'elbow depth',
      looksAt:
        'At the bottom the underside of both elbows comes level with the top of the shoulder joint, or lower.',
      differs: 'In force in the IPF since 2023; many federations do not ask for it.',
      shows: () => ['Nothing of this: the program does not measure it.'],
      cannotShow:
        'The undersides of the elbows and the tops of the shoulders, which the program does not measure.',
    },
    {
      name: 'lockout',
      looksAt: 'The press ends with both arms straight and the bar still.',
      differs: null,
      shows: lockoutSentence,
      cannotShow:
        'The other arm; arms that do not straighten fully by build, which a lifter shows the referees beforehand.',
    },
    {
      name: 'commands',
      looksAt: 'The lifter waits for the commands to start, to press and to rack.',
      differs: 'Some federations give no command to start.',
      shows: () => [notListened],
      cannotShow: 'Commands are not heard or read by the program.',
    },
  ],
  deadlift: [
    {
      name: 'downward movement',
      looksAt: 'Once it has left the floor the bar must not come down before the lifter stands upright.',
      differs:
        'Some rule sets let the bar stop as long as it does not fall; settling a little as the shoulders come back is commonly let pass.',
      shows: (e) => [
        ...fallSentence('Before lockout the bar came down', e, 'fall_m'),
        ...stopSentence(e),
        ...fallSentence('After lockout the bar settled', e, 'sag_m'),
      ],
      cannotShow: 'The bar’s other end, which may have come down alone.',
    },
    {
      name: 'lockout',
      looksAt: 'At the end the lifter stands upright and still, knees locked and shoulders back.',
      differs: 'Some federations do not ask for the shoulders to be back.',
      shows: (e) => [...lockoutSentence(e), ...pointSentences(e, 'knee', 'hip', 'shoulder')],
      cannotShow: 'How far back the shoulders are, which the disc and the arm often hide.',
    },
    {
      name: 'support on the thighs',
      looksAt: 'The bar is not rested on the thighs; dragging it along them is no fault.',
      differs: 'What counts as resting it there differs.',
      shows: stopSentence,
      cannotShow: 'Whether the thighs carried the bar: a stop says only that it may have been so.',
    },
    {
      name: 'feet',
      looksAt: 'The feet do not step; rocking from heel to ball is allowed.',
      differs: 'How much movement of a foot is tolerated differs.',
      shows: (e) => pointSentences(e, 'heel', 'toe'),
      cannotShow: 'The far foot.',
    },
    {
      name: 'down command',
      looksAt: 'The bar is held until the command and lowered with both hands on it.',
      differs: null,
      shows: () => [notListened],
      cannotShow: 'Commands are not heard or read by the program.',
    },
  ],
};

const nothingShown = 'Nothing of this is measured, marked or followed in it so far.';

/** For each thing a referee looks at in a lift, what this clip shows of it and what it cannot. */
export function whatRefereesLookAt(lift: Lift, evidence: RuleEvidence): RuleView[] {
  return rules[lift].map(({ shows, ...rule }) => {
    const said = [...new Set(shows(evidence))];
    return { ...rule, shows: said.length > 0 ? said : [nothingShown] };
  });
}

/** Who decides. `federation` in the coach's own words; empty where nobody said. */
export const authoritySentence = (federation: string): string => {
  const whose = federation.trim() === '' ? 'Your federation’s' : `The ${federation.trim()}’s`;
  return `${whose} current rulebook is the authority, and the referees decide; look a rule up there before relying on it. What stands here is no ruling.`;
};
