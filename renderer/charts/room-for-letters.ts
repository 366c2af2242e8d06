/** What a chart keeps free for its letters, px: grows with them, however large a person sets text. */
export interface RoomForLetters {
  letterPx: number;
  /** Left of both charts on the clock, whose zeros stand one above the other. */
  leftPx: number;
  /** Under a chart. */
  bottomPx: number;
  /** One row of the phases. */
  rowPx: number;
}

export function roomForLetters(): RoomForLetters {
  const letterPx = 0.75 * parseFloat(getComputedStyle(document.documentElement).fontSize);
  return { letterPx, leftPx: 3.67 * letterPx, bottomPx: 1.83 * letterPx, rowPx: 2 * letterPx };
}

/** Height of both rows of phases, px. */
export const stripHeightPx = ({ rowPx }: RoomForLetters): number => 2 * rowPx + 6;
