export type Rgb = readonly [number, number, number];

/** sRGB's transfer function (IEC 61966-2-1; from memory), 0 to 1 both ways. */
export const toLinear = (s: number): number => (s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4);
export const toGamma = (l: number): number => (l <= 0.0031308 ? 12.92 * l : 1.055 * l ** (1 / 2.4) - 0.055);

/** "#rrggbb" as gamma-coded values from 0 to 1. */
export function fromHex(hex: string): Rgb {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) / 255, ((n >> 8) & 255) / 255, (n & 255) / 255];
}

export const linearOf = (hex: string): Rgb => {
  const [r, g, b] = fromHex(hex);
  return [toLinear(r), toLinear(g), toLinear(b)];
};

/** The same colour brighter (k above 1) or darker, as a CSS colour; light is scaled linearly. */
export function shade(hex: string, k: number, alpha = 1): string {
  const [r, g, b] = linearOf(hex).map((c) => Math.round(255 * toGamma(Math.min(1, c * k))));
  return `rgba(${r},${g},${b},${alpha})`;
}

/** Gamma byte to linear light. */
export const linearOfByte = Float32Array.from({ length: 256 }, (_, i) => toLinear(i / 255));
