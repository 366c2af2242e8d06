/** What stands in the way of measuring a clip, how to film it better, and how it was read. */
export const clipTexts = {
  /** One problem and what would help, for each limit of the clip check, by its name. */
  problems: {
    offSquare: {
      problem: (degrees: number) => `The camera stood ${degrees} degrees off square to the bar's path.`,
      better: "Stand the phone square to the bar's end, so that the disc looks round.",
    },
    roll: {
      problem: (degrees: string) => `The picture leans by ${degrees} degrees.`,
      better: "Level the phone by the rack's uprights.",
    },
    smallDisc: {
      problem: (px: number) => `The disc is only ${px} pixels across.`,
      better: 'Zoom in, or film at a higher resolution, so that the lift fills the height of the picture.',
    },
    fewFrames: {
      problem: (fps: string) => `The clip holds only ${fps} different pictures a second of real time.`,
      better: 'Film at 60 frames a second.',
    },
    uneven: {
      problem: (times: string) => `The frames are unevenly spaced: gaps of ${times} times the usual occur.`,
      better: 'Film in good light and send the original file, not a copy that a chat program made.',
    },
    repeated: {
      problem: (share: string) => `${share} of the frames only repeat the one before.`,
      better: 'Send the original file rather than a screen recording or a converted copy.',
    },
    smeared: {
      problem: (px: number) => `At its fastest the bar is smeared over ${px} pixels.`,
      better: 'Film in brighter light, so that the shutter is faster.',
    },
    shaken: {
      problem: (px: number) => `The camera moved by ${px} pixels; most of it has been taken out, not all.`,
      better: 'Put the phone on something that stands still.',
    },
    hidden: {
      problem: (share: string) => `The disc is hidden in ${share} of the rep.`,
      better:
        "Choose a place, well outside the drop and spotting zones, from which nothing crosses the bar's end; spotters never move for the view.",
    },
    noUpright: {
      problem: 'Up is taken from the picture, in which nothing upright was seen.',
      better:
        'Mark a rack upright as plumb line to know drift more surely: one degree of tilt makes 10 mm of drift in 0.6 m of lift.',
    },
  },
  both: (problem: string, better: string) => `${problem} ${better}`,
  /** Where the bar moves as no lifter's does. */
  improbable: {
    farther: (rise: string, lift: string) =>
      `The bar rises by ${rise} here, farther than in any lifter’s ${lift}: lengths and velocities cannot be right.`,
    less: (rise: string, lift: string) =>
      `The bar rises by ${rise} here, less than in any lifter’s ${lift}: lengths and velocities cannot be right.`,
    checkDisc:
      'Check that the near disc is followed by its whole rim and that its diameter is right; else point at the disc or draw its rim.',
    faster: (speed: string) =>
      `The drive has a mean velocity of ${speed}, faster than any lifter’s: velocities cannot be right.`,
    slower: (speed: string) =>
      `The drive has a mean velocity of ${speed}, slower than any lifter’s: velocities cannot be right.`,
    checkPace: 'Check how many times the clip is slowed down, and the disc and its diameter.',
  },
  /** What always goes with advice on filming: nobody takes a risk for a clip. */
  safely: [
    'Next time set the phone up well outside the drop and spotting zones, at hip height, far away and zoomed in.',
    'Collars and safeties are never altered for filming, spotters never move for the view, and a heavy attempt is never repeated for a clip.',
  ],
  cutShort:
    'The file is cut short or damaged: what could not be read is missing here. Copy it again from the phone.',
  framesRead: (read: number, declared: number) =>
    `The file is cut short or damaged: ${read} of ${declared} frames could be read.`,
  framesReadOfMore: (read: number) =>
    `The file is cut short or damaged: ${read} of more frames could be read.`,
  leftOut: (stretches: string) => `Not looked at, since nothing in the picture moves there: ${stretches}.`,
  leftOutStretch: (fromS: string, toS: string) => `${fromS} to ${toS} s`,
  slowMotionTag: (times: string) =>
    `Taken as slow motion, ${times} times slower than life, as the phone says in the file; every velocity depends on it.`,
  hiddenFrom: (from: string, to: string) =>
    `The disc was not seen from ${from} to ${to} s: what hangs on that stretch is left out, and the bar’s way there is a guess.`,
  whichDisc:
    'Check that the right disc is followed: it showed little of its rim, or another one moves about as a bar does.',
  pointAtDisc: 'Where it is the wrong one, point at the near disc.',
  smoothing: 'state-space smoother without lag, as strong at each moment as the clip’s own evidence says',

  littleBackground: (share: string) =>
    `In ${share} of the clip too little background was seen to tell whether the camera moved; where it did, the bar seems to move with it.`,
  sleeveEnd: (smaller: string, spread: string, proud: string, away: string) =>
    `The end of the sleeve was followed, not the disc. It is nearer to the camera, so its way was made smaller by ${smaller} ± ${spread}: it stands out by ${proud}, ${away} from the camera.`,
  uprights: (found: string) =>
    `Up is taken from upright edges behind the lifter: ${found}. Racks lean too; mark an upright that you trust to know better.`,
  standsUpright: 'the picture stands upright',
  leans: (degrees: string) => `the picture leans by ${degrees} degrees, which was taken out`,
  lensBends: (share: string) =>
    `The lens bends straight lines, by ${share} of the way at the side of the picture, as uprights in the background show; this was taken out.`,
};
