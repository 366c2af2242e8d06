/** Relative luminance of sRGB, WCAG 2.2 definition; channels 0 to 255. */
const luminance = (rgb: readonly number[]): number => {
  const [r, g, b] = rgb.map((c) => {
    const s = c / 255;
    return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};

/** "#0072B2" or "rgb(0, 114, 178)" as channels. */
export const channels = (colour: string): number[] =>
  colour.startsWith('#')
    ? [1, 3, 5].map((i) => parseInt(colour.slice(i, i + 2), 16))
    : (colour.match(/[\d.]+/g) ?? []).slice(0, 3).map(Number);

/** Contrast ratio, 1 to 21, in either order. */
export function contrast(a: string, b: string): number {
  const [hi, lo] = [luminance(channels(a)), luminance(channels(b))].sort((x, y) => y - x);
  return (hi + 0.05) / (lo + 0.05);
}
