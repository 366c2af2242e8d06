/**
 * Disc diameters with what is known of their spread. `sigmaM` is one standard uncertainty, metres; a limit
 * of ± a by rule is rectangular, a / sqrt(3) (JCGM 100:2008, 4.3.7).
 */
export interface DiscNorm {
  name: string;
  /** Best estimate of the diameter, metres. */
  diameterM: number;
  sigmaM: number;
  /** Where the figure comes from, and how surely. */
  source: string;
}

const rectangular = (halfWidthM: number) => halfWidthM / Math.sqrt(3);

/** Which statement about the disc the diameter's uncertainty follows from. */
export type DiscKind = 'weightlifting' | 'powerlifting' | 'gym';

export const discNorms: Record<DiscKind, DiscNorm> = {
  weightlifting: {
    name: 'weightlifting disc of 10 kg or more',
    diameterM: 0.45,
    sigmaM: rectangular(0.001),
    source:
      'IWF Technical and Competition Rules, chapter on sport equipment: 450 mm ± 1 mm, read in secondary copies',
  },
  powerlifting: {
    name: 'powerlifting disc, largest size',
    // The rules give a maximum and no minimum: rectangular between 8 mm below it and the maximum itself.
    diameterM: 0.446,
    sigmaM: rectangular(0.004),
    source:
      'IPF Technical Rules Book, bars and discs: 45 cm at most, from memory; how far below it discs are made is common practice',
  },
  gym: {
    name: 'gym disc that nobody measured',
    diameterM: 0.445,
    sigmaM: rectangular(0.008),
    source: 'common practice: 445 mm ± 8 mm',
  },
};

/**
 * Usual diameters by mass, metres. Below the largest size the rules leave the diameter open, so treat each as
 * ± 10 mm; typical of what is made, from memory.
 */
export const usualDiscDiameterM: {
  calibratedSteel: readonly (readonly [massKg: number, diameterM: number])[];
  weightliftingChange: readonly (readonly [massKg: number, diameterM: number])[];
} = {
  calibratedSteel: [
    [25, 0.45],
    [20, 0.45],
    [15, 0.4],
    [10, 0.325],
    [5, 0.228],
    [2.5, 0.19],
    [1.25, 0.16],
  ],
  weightliftingChange: [
    [5, 0.23],
    [2.5, 0.21],
    [2, 0.19],
    [1.5, 0.175],
    [1, 0.16],
    [0.5, 0.135],
  ],
};

/** Radius of the disc that a clip is taken to show before anybody says otherwise, metres. */
export const usualDiscRadiusM = discNorms.weightlifting.diameterM / 2;

/**
 * The diameter to assume for a disc of the given mass, or null where the rules set none and it has to be
 * measured: only weightlifting discs of 10 kg and more are all of one size.
 *
 * @param kind what the user says the disc is
 * @param massKg the disc's mass, kilograms
 */
export function discBySaying(kind: DiscKind, massKg: number): DiscNorm | null {
  const smallestKg = kind === 'weightlifting' ? 10 : 20;
  return massKg >= smallestKg ? discNorms[kind] : null;
}
