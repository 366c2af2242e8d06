/** A message that asks the lifter for what is missing. */
export const messageTexts = {
  hello: (name: string | null) => (name ? `Hello ${name},` : 'Hello,'),
  thanks: (lift: string) => `thank you for the ${lift}. Before I can say much about it:`,
  facts: 'Please tell me',
  clip: 'And please film it once more, some other day and with whatever is on your plan',
  load: (which: string) => `the load on the bar ${which}`,
  ofToday: 'in the clip you sent',
  ofReference: 'in the earlier clip',
  asked: 'what you would like to know',
  day: 'the day it was filmed',
  pause: 'whether you meant to pause on the chest',
  effort: 'how many more reps would have gone',
  equipment: 'what you wore (belt, wraps, sleeves)',
  unreadable:
    'The bar could not be followed in it. Stand the phone square to the bar’s end, so that the whole disc at the near end is in the picture all the time.',
  cutShort: 'The file arrived cut short or damaged. Please send the original file once more.',
  hurts: 'And does anything hurt? If so, please see a licensed clinician before training on.',
};
