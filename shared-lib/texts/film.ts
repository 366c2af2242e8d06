/** The film's captions. */
export const filmTexts = {
  reference: 'Reference',
  today: 'Today',
  titled: (which: string, load: string) => `${which} · ${load}`,
  caution:
    'Measured at the near end of the bar. No medical advice: see a licensed clinician for pain. Referees decide. Heavy attempts need spotters or safeties.',
  seconds: (s: number) => `${s.toFixed(1)} s`,
  done: (phase: string, s: number) => `${phase} ${s.toFixed(1)} s`,
  slowMotion: 'slow motion',
  keepsStep: 'slowed to keep step',
  waits: 'waits for the other rep',
  notBegun: 'clip has not begun',
  ended: 'clip has ended',
};
