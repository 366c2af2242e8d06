import { median } from '../motion/statistics.ts';
import { sampleBilinear, type GreyImage } from '../picture/grey-image.ts';
import type { RimEdges } from '../picture/rim-edges.ts';
import type { RimShift } from '../picture/rim-fit.ts';

/**
 * What each ray has lately met just inside the rim, grey levels; NaN where nothing yet. The disc's edge stays
 * much the same from one picture to the next, while what passes before it seldom is as bright: a ray that
 * meets something else is hidden and says nothing of the rim.
 */
export type RayMemory = Float64Array;

/** A disc's edge changes by this much from picture to picture, as share of its level and in grey levels: common practice. */
const ordinaryShare = 0.12;
const ordinaryLevels = 6;
/** Beyond this many times the ordinary change something else is before the rim. */
const gate = 2.5;
/** How fast the memory follows. */
const renewal = 0.15;
/** Fewer remembered rays than this are no memory. */
const fewestRays = 24;

export const emptyMemory = (rays: number): RayMemory => new Float64Array(rays).fill(NaN);

/**
 * What each ray is to be trusted, 0 to 1, by the level inside the edge that the fit took on it. Light that
 * changes over the whole picture is taken out first. Null where too little is remembered.
 */
export function trustOf(memory: RayMemory, edges: RimEdges, shift: RimShift): Float64Array | null {
  const gain = gainOf(memory, edges, shift);
  if (gain === null) return null;
  const trust = new Float64Array(memory.length);
  for (let ray = 0; ray < memory.length; ray++) {
    const level = memory[ray];
    const k = shift.chosen[ray];
    const u = Number.isNaN(level) || k < 0 ? 0 : otherness(edges.inner[k], gain * level);
    trust[ray] = Math.abs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0;
  }
  return trust;
}

/** How far a level is from the expected one; from 1 on, either way, something else is there. */
const otherness = (level: number, expected: number): number =>
  (level - expected) / (gate * (ordinaryLevels + ordinaryShare * expected));

/** Where just inside the rim a ray's level is looked at, as share of the rim's radius: set by judgement. */
const insideShare = 0.06;

/**
 * Share of the rays on which something else than the disc lies just inside the placed rim, whether it has an edge there or
 * not, 0 to 1. Null where too little is remembered.
 */
export function hiddenShare(
  memory: RayMemory,
  image: GreyImage,
  edges: RimEdges,
  shift: RimShift,
  radiusPx: number,
): number | null {
  const gain = gainOf(memory, edges, shift);
  if (gain === null) return null;
  const inwardPx = insideShare * radiusPx;
  let hidden = 0;
  let known = 0;
  for (let ray = 0; ray < memory.length; ray++) {
    const level = memory[ray];
    if (Number.isNaN(level)) continue;
    known++;
    const x = edges.xPx[ray] + shift.dxPx - inwardPx * edges.nx[ray];
    const y = edges.yPx[ray] + shift.dyPx - inwardPx * edges.ny[ray];
    const k = shift.chosen[ray];
    const now = k >= 0 ? edges.inner[k] : sampleBilinear(image, x, y);
    if (Math.abs(otherness(now, gain * level)) >= 1) hidden++;
  }
  return known < fewestRays ? null : hidden / known;
}

/** Adds what the agreeing rays of one picture have met. */
export function remembered(memory: RayMemory, edges: RimEdges, shift: RimShift): RayMemory {
  const gain = gainOf(memory, edges, shift) ?? 1;
  const next = new Float64Array(memory.length);
  for (let ray = 0; ray < memory.length; ray++) {
    const level = gain * memory[ray];
    const k = shift.chosen[ray];
    if (k < 0) next[ray] = level;
    else next[ray] = Number.isNaN(level) ? edges.inner[k] : level + renewal * (edges.inner[k] - level);
  }
  return next;
}

/** How much brighter the rim is than remembered, by the middle ray. */
function gainOf(memory: RayMemory, edges: RimEdges, shift: RimShift): number | null {
  if (ratios.length < memory.length) ratios = new Float64Array(memory.length);
  let n = 0;
  for (let ray = 0; ray < memory.length; ray++) {
    const k = shift.chosen[ray];
    if (k >= 0 && memory[ray] > 0) ratios[n++] = edges.inner[k] / memory[ray];
  }
  return n < fewestRays ? null : median(ratios, n);
}

/** Work space, for one rim after the other; never shared between workers. */
let ratios = new Float64Array(0);
