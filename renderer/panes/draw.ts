import { light } from '../../shared-lib/page/palette.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';

type Point = readonly [xPx: number, yPx: number];

const casing = 'rgb(255 255 255 / 0.85)';

/** A way of the bar: solid for the reference, dashed for today, on a light casing; broken at null. */
export function drawPath(
  context: CanvasRenderingContext2D,
  points: readonly (Point | null)[],
  side: SideName,
  faint: boolean,
): void {
  const trace = (): void => {
    context.beginPath();
    let down = false;
    for (const point of points) {
      if (!point) down = false;
      else if (down) context.lineTo(...point);
      else {
        context.moveTo(...point);
        down = true;
      }
    }
  };
  context.save();
  context.lineJoin = 'round';
  context.lineCap = 'round';
  context.globalAlpha = faint ? 0.75 : 1;
  trace();
  context.strokeStyle = casing;
  context.lineWidth = faint ? 3.5 : 5.5;
  context.stroke();
  trace();
  context.strokeStyle = light[side];
  context.lineWidth = faint ? 1.75 : 3;
  if (side === 'today') {
    context.setLineDash([7, 5]);
    context.lineCap = 'butt';
  }
  context.stroke();
  context.restore();
}

/** Where the bar is: filled for the reference, open for today. */
export function drawBar(context: CanvasRenderingContext2D, at: Point, side: SideName): void {
  context.save();
  const round = (radius: number): void => {
    context.beginPath();
    context.arc(at[0], at[1], radius, 0, 2 * Math.PI);
  };
  round(8.5);
  context.fillStyle = casing;
  context.fill();
  if (side === 'reference') {
    round(6.5);
    context.fillStyle = light.reference;
    context.fill();
  } else {
    round(5.5);
    context.strokeStyle = light.today;
    context.lineWidth = 3;
    context.stroke();
  }
  context.restore();
}

/** The path that the coach wishes: dotted, dark on a light casing, so that it is nobody's rep. */
export function drawWished(context: CanvasRenderingContext2D, points: readonly Point[]): void {
  context.save();
  context.lineCap = 'round';
  for (const [style, width] of [
    [casing, 5],
    ['#1b1d20', 2.5],
  ] as const) {
    context.beginPath();
    points.forEach((point, i) => (i === 0 ? context.moveTo(...point) : context.lineTo(...point)));
    context.strokeStyle = style;
    context.lineWidth = width;
    context.setLineDash([1, 6]);
    context.stroke();
  }
  context.restore();
}
