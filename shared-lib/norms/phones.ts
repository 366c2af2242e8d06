/** Focal length over the picture's longer side of a phone's main camera, filmed and steadied (common practice). */
export const usualFocalLength = 0.95;
/** One sigma of it, relative: zoomed in and wide lenses are in use too (common practice). */
export const usualFocalSigma = 0.35;
