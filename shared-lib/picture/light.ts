/**
 * Light from luma: lenses and shutters blur light, and a film codes it by about its square root, so that the middle
 * of a blurred edge lies toward its dark side in luma. Found in luma, the rim of a dark disc came out 0.15 to 0.45
 * pixels too small on rendered clips; in light, 0.03. Black is at 16, as in nearly all films.
 */
export const lightOf = Float32Array.from({ length: 256 }, (_, luma) => Math.max(0, luma - 16) ** 2);
