import type { RepPlan, SceneSpec } from '../scene/spec.ts';
import { brokenDriveCurve, chestCurve, descentCurve, dropCurve, failedDriveCurve } from './courses.ts';
import { carryStage, pressStage, stillStage, type Stage } from './stage.ts';
import { startHeightM } from '../scene/build.ts';

interface Place {
  xM: number;
  yM: number;
}

/** Where the bar rests on the rack: x from the start place, y from the start height; common practice. */
export const rackOffset = {
  bench: { xM: -0.17, yM: -0.05 },
  squat: { xM: 0.42, yM: -0.06 },
} as const;

/** How far above the start a helper carries the bar, metres; common practice. */
const handOffM = 0.045;

/** The bar's course through a whole clip, stage by stage, each starting where the one before ended. */
export function planStages(spec: SceneSpec): Stage[] {
  return spec.lift === 'deadlift' ? pullStages(spec) : pressStages(spec);
}

function pressStages({ lift, lifter, plan }: SceneSpec): Stage[] {
  const start: Place = { xM: 0, yM: startHeightM(lift, lifter) };
  const offset = rackOffset[lift === 'squat' ? 'squat' : 'bench'];
  const rack: Place = { xM: start.xM + offset.xM, yM: start.yM + offset.yM };
  const above: Place = { xM: rack.xM, yM: start.yM };
  const walk = lift === 'squat';
  const stages: Stage[] = [];
  if (plan.unrack && plan.handOff && lift === 'bench') {
    const high: Place = { xM: rack.xM, yM: start.yM + handOffM };
    const over: Place = { xM: start.xM, yM: start.yM + handOffM };
    stages.push(
      stillStage('rest', null, plan.leadS, rack),
      carryStage('unrack', 0.7, rack, high),
      carryStage('unrack', 0.9, high, over),
      stillStage('settle', null, 0.3, over),
      carryStage('unrack', 0.6, over, start),
    );
  } else if (plan.unrack) {
    stages.push(
      stillStage('rest', null, plan.leadS, rack),
      carryStage('unrack', 0.7, rack, above),
      ...(walk ? [stillStage('settle', null, 0.4, above)] : []),
      carryStage(walk ? 'walk out' : 'unrack', walk ? 1.7 : 0.8, above, start),
    );
  }
  stages.push(stillStage('settle', 0, plan.settleS + (plan.unrack ? 0 : plan.leadS), start));
  let at = start;
  plan.reps.forEach((rep, i) => {
    if (i > 0) stages.push(stillStage('settle', i, rep.restS ?? plan.settleS, at));
    const turn = rep.pauseS <= 0;
    const bottom: Place = { xM: start.xM + rep.driftBottomM, yM: at.yM - rep.romM };
    const lockout: Place = { xM: start.xM + rep.driftLockoutM, yM: at.yM };
    stages.push(
      pressStage('descent', i, descentCurve(rep.romM, rep.descentS, turn), at, bottom, rep.descentBowM),
    );
    const sinkM = turn ? 0 : (rep.sinkM ?? 0);
    const low: Place = { xM: bottom.xM, yM: bottom.yM - sinkM };
    if (sinkM > 0) stages.push(pressStage('pause', i, chestCurve(sinkM, rep.pauseS), bottom, low, 0));
    else if (!turn) stages.push(stillStage('pause', i, rep.pauseS, bottom));
    if (rep.stopShortM > 0) {
      const stopped: Place = { xM: lockout.xM, yM: lockout.yM - rep.stopShortM };
      const way = rep.romM + sinkM - rep.stopShortM;
      stages.push(
        pressStage('drive', i, failedDriveCurve(rep.drive, way), low, stopped, rep.bowM),
        stillStage('stall', i, 0.8, stopped),
        pressStage('sink back', i, descentCurve(way, 1.6, false), stopped, low, 0),
      );
      at = low;
    } else {
      const course = brokenDriveCurve(rep.drive, rep.romM + sinkM, turn, rep.breaks ?? []);
      stages.push(pressStage('drive', i, course, low, lockout, rep.bowM));
      at = lockout;
    }
  });
  stages.push(stillStage('hold', null, plan.holdS, at));
  if (plan.rerack && at.yM === start.yM) {
    const back: Place = { xM: rack.xM, yM: at.yM };
    stages.push(
      carryStage(walk ? 'walk in' : 'rerack', walk ? 1.8 : 0.8, at, back),
      carryStage('rerack', 0.6, back, rack),
    );
    at = rack;
  }
  stages.push(stillStage('rest', null, plan.tailS, at));
  return stages;
}

function pullStages({ lift, lifter, plan }: SceneSpec): Stage[] {
  const start: Place = { xM: 0, yM: startHeightM(lift, lifter) };
  const stages: Stage[] = [stillStage('rest', null, plan.leadS, start)];
  const put = (rep: RepPlan, i: number) => {
    const hold: Place = { xM: start.xM + rep.driftLockoutM, yM: start.yM + rep.romM };
    if (rep.stopShortM > 0) {
      const way = rep.romM - rep.stopShortM;
      const stopped: Place = { xM: hold.xM, yM: start.yM + way };
      stages.push(
        pressStage('drive', i, failedDriveCurve(rep.drive, way), start, stopped, rep.bowM),
        stillStage('stall', i, 0.8, stopped),
        pressStage('sink back', i, descentCurve(way, 0.9, false), stopped, start, 0),
      );
      return;
    }
    const rebounds = i > 0 && rep.restS === 0;
    const isLast = i === plan.reps.length - 1;
    const intoRebound = !isLast && plan.reps[i + 1].restS === 0;
    stages.push(
      pressStage(
        'drive',
        i,
        brokenDriveCurve(rep.drive, rep.romM, rebounds, rep.breaks ?? []),
        start,
        hold,
        rep.bowM,
      ),
      stillStage('hold', i, rep.pauseS, hold),
      rep.dropped && isLast
        ? pressStage('drop', i, dropCurve(rep.romM), hold, start, 0)
        : pressStage(
            'descent',
            i,
            descentCurve(rep.romM, rep.descentS, intoRebound),
            hold,
            start,
            rep.descentBowM,
          ),
    );
  };
  plan.reps.forEach((rep, i) => {
    const restS = rep.restS ?? plan.settleS;
    if (restS > 0) stages.push(stillStage('settle', i, restS, start));
    put(rep, i);
  });
  stages.push(stillStage('rest', null, plan.holdS + plan.tailS, start));
  return stages;
}
