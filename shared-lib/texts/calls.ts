/** Why a measured difference got its call, or why there is none: one plain sentence each. */
export const callTexts = {
  notCalled: 'Shown with its own interval and not called.',
  changed: (worth: string) =>
    `The difference reaches the ${worth} worth acting on and goes beyond the lifter’s ordinary rep-to-rep spread.`,
  differs: (worth: string, open: string) =>
    `These two reps differ by at least the ${worth} worth acting on; ${open}`,
  openWithoutReps: 'whether the lifter has changed is open until there are several reference reps.',
  openWithFewReps: 'the reference reps are too few, or of one day, to say whether the lifter has changed.',
  openWithSpread: 'ordinary reps of this lifter differ as much.',
  noClearChange: (worth: string) =>
    `The difference lies within ± ${worth}, the least worth acting on, as surely as 95 in 100.`,
  noWorth: 'There is no agreed difference worth acting on.',
  someDifference: (worth: string) =>
    `There is a difference, but whether it reaches the ${worth} worth acting on is open.`,
  openDifference: (spread: string, worth: string) =>
    `The uncertainty of ${spread} leaves open whether there is a difference of ${worth}.`,

  aPause: 'a pause of 0.2 s or longer',
  aStickingPoint: 'a sticking point',
  aValue: (label: string) => `a value for ${label}`,
  hidden: (label: string, who: string) => `The disc was not seen in ${who} just when ${label} is measured.`,
  neither: (what: string) => `Neither rep has ${what}.`,
  onlyToday: (what: string) => `Today’s rep has ${what}, the reference rep has none.`,
  onlyReference: (what: string) => `The reference rep has ${what}, today’s rep has none.`,
  openWhetherBoth: (what: string) => `Whether both reps have ${what} is open within the uncertainty.`,
};
