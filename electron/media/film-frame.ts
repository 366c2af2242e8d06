import type { FilmShape } from '../../shared-lib/contract/hand-back.ts';
import type { SideName } from './film-spec.ts';

export interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

/** Where one rep stands in the film: its pictures and the middles of the rows of words that go with them. */
export interface SidePlace {
  pane: Box;
  titleY: number;
  phaseY: number;
  doneY: number;
}

/** The film's picture and where things stand in it, pixels; panes have even places and sizes, as 4:2:0 wants them. */
export interface FilmFrame {
  width: number;
  height: number;
  sides: Record<SideName, SidePlace>;
  cautionY: number;
  /** Where a cue is written while both reps are held, and whose rows of words give way to it. */
  cue: Box & { over: readonly SideName[] };
}

const lying = (left: number): SidePlace => ({
  pane: { left, top: 92, width: 956, height: 772 },
  titleY: 46,
  phaseY: 908,
  doneY: 962,
});
const upright = (top: number): SidePlace => ({
  pane: { left: 0, top: top + 80, width: 1080, height: 680 },
  titleY: top + 40,
  phaseY: top + 794,
  doneY: top + 838,
});

/** Side by side for a screen that lies, one above the other for one that stands. */
export const filmFrames: Record<FilmShape, FilmFrame> = {
  landscape: {
    width: 1920,
    height: 1080,
    sides: { reference: lying(0), today: lying(964) },
    cautionY: 1034,
    cue: { left: 40, top: 868, width: 1840, height: 144, over: ['reference', 'today'] },
  },
  portrait: {
    width: 1080,
    height: 1920,
    sides: { reference: upright(0), today: upright(870) },
    cautionY: 1854,
    cue: { left: 30, top: 1634, width: 1020, height: 164, over: ['today'] },
  },
};
