/** Focal length over the picture's longer side of a phone's main camera, filmed and steadied (common practice). */
export const usualFocalLength = 0.95;
