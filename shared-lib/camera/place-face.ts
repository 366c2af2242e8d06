import type { CameraPose, LensBow, Rim } from '../contract/trace.ts';
import { median } from '../motion/statistics.ts';
import {
  faceIn,
  facePoints,
  faceTemplate,
  registerFace,
  type FaceTemplate,
} from '../picture/face-registration.ts';
import type { DiscView } from '../trace/disc-views.ts';
import type { Position } from '../trace/fuse-positions.ts';
import { drawnRim, type DrawnOut } from './drawn-out.ts';
import { rimOfPose } from './rim-of-pose.ts';

/** The disc's face in one picture, and how far the disc had turned there. */
export interface FaceSeen {
  template: FaceTemplate;
  turnRad: number;
}

interface Seen {
  picture: { widthPx: number; heightPx: number };
  bow?: LensBow | undefined;
  /** How the disc is drawn out of shape. */
  drawnOut?: DrawnOut | undefined;
}

/** A face less like its template than this, or that agrees on less of its points, is no evidence (set by judgement on rendered clips). */
const leastLikeness = 0.8;
const leastShare = 0.45;

/** A view with the near face's centre in it, and how far the disc has turned. */
export interface FacingView {
  view: DiscView;
  centre: { xPx: number; yPx: number };
  turnRad: number;
  drawnOut?: DrawnOut | undefined;
}

/** A point of the face looks the same in most views up to this, grey levels; else something stands before it in the picture taken for the template, or light changes there. Set by judgement. */
const sameGrey = 8;
/** A face of which less is the same in most views is none to go by (set by judgement). */
const leastSame = 0.4;

/**
 * What the face looks like in one view, without what is seen there of things before it: of those all views show something else in
 * most places of the face.
 *
 * @param others views of the same disc, in which it lies elsewhere in the picture
 */
export function faceSeen(
  one: FacingView,
  others: readonly FacingView[],
  pose: CameraPose,
  seen: Seen,
): FaceSeen | null {
  const rimIn = ({ view, centre, drawnOut }: FacingView): Rim =>
    inView(view, rimSeen(pose, centre, { ...seen, drawnOut }));
  const template = faceTemplate(one.view.image, rimIn(one));
  const levels = [one, ...others].map((each) => {
    const grey = faceIn(each.view.image, template, rimIn(each), each.turnRad - one.turnRad);
    const level = median(grey);
    return grey.map((value) => value - level);
  });
  const inEach = new Float64Array(levels.length);
  const isSame = template.grey.map((_, i) => {
    for (let k = 0; k < inEach.length; k++) inEach[k] = levels[k][i];
    return Math.abs(levels[0][i] - median(inEach)) < sameGrey ? 1 : 0;
  });
  const kept = facePoints(template, (i) => isSame[i] === 1);
  return kept.u.length < leastSame * template.u.length ? null : { template: kept, turnRad: one.turnRad };
}

/**
 * Where a view shows the face, near a centre at which its outline shows. Markings on the face tell the way of the disc better than
 * its outline where motion draws that out, and whatever stands behind it.
 *
 * @param turnRad how far the disc has turned by now
 * @returns the near face's centre up to one shift for all views: the template's own place is not exact
 */
export function placeFace(
  view: DiscView,
  pose: CameraPose,
  centre: { xPx: number; yPx: number },
  face: FaceSeen,
  turnRad: number,
  seen: Seen,
): Position | null {
  const rim = rimSeen(pose, centre, seen);
  const found = registerFace(
    view.image,
    face.template,
    inView(view, rim),
    turnRad - face.turnRad,
    'agreeing',
  );
  if (!found || found.correlation < leastLikeness || found.inlierShare < leastShare) return null;
  const { dxPx, dyPx, varXPx2, varYPx2, covXYPx2 } = found;
  return {
    xPx: centre.xPx + dxPx,
    yPx: centre.yPx + dyPx,
    varXPx2,
    varYPx2,
    covXYPx2,
  };
}

function rimSeen(
  pose: CameraPose,
  centre: { xPx: number; yPx: number },
  { picture, bow, drawnOut }: Seen,
): Rim {
  const rim = rimOfPose(pose, centre, picture, bow);
  return drawnOut ? drawnRim(rim, drawnOut) : rim;
}

const inView = <P extends { xPx: number; yPx: number }>({ x0Px, y0Px }: DiscView, place: P): P => ({
  ...place,
  xPx: place.xPx - x0Px,
  yPx: place.yPx - y0Px,
});
