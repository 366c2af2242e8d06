/** Bar dimensions in metres and kilograms. `[least, most]` where the rules leave room. */
export interface BarNorm {
  name: string;
  massKg: number;
  lengthM: readonly [number, number];
  /** Distance between the sleeves' inner faces. */
  betweenSleevesM: readonly [number, number];
  gripDiameterM: readonly [number, number];
  sleeveDiameterM: readonly [number, number];
  source: string;
}

const iwf = 'IWF Technical and Competition Rules, chapter on sport equipment, read in secondary copies';

export const barNorms = {
  weightliftingMen: {
    name: "men's weightlifting bar",
    massKg: 20,
    lengthM: [2.2, 2.2],
    betweenSleevesM: [1.31, 1.31],
    gripDiameterM: [0.028, 0.028],
    sleeveDiameterM: [0.05, 0.05],
    source: iwf,
  },
  weightliftingWomen: {
    name: "women's weightlifting bar",
    massKg: 15,
    lengthM: [2.01, 2.01],
    betweenSleevesM: [1.31, 1.31],
    gripDiameterM: [0.025, 0.025],
    sleeveDiameterM: [0.05, 0.05],
    source: iwf,
  },
  powerlifting: {
    name: 'powerlifting bar',
    massKg: 20,
    // The rules give the length's maximum only.
    lengthM: [0, 2.2],
    betweenSleevesM: [1.31, 1.32],
    gripDiameterM: [0.028, 0.029],
    sleeveDiameterM: [0.05, 0.052],
    source:
      'IPF Technical Rules Book, bars and discs, read in secondary copies (25 kg with two 2.5 kg collars)',
  },
} as const satisfies Record<string, BarNorm>;
