/** What a hand-back never says, and the words by which it is known. Judged as common practice of wording, in English. */
export const unsaidTexts: readonly { what: string; words: RegExp }[] = [
  { what: 'a ruling: the referees decide', words: /\b(good|no|bad|legal|illegal) lifts?\b|\b(white|red) lights?\b|\b(pass(es|ed)?|would (count|pass)|disqualif\w+|red[- ]light\w*)\b/i },
  { what: 'a depth verdict', words: /\b(below|above|breaks?|broke|hits?|reach(es|ed)?|to|at) parallel\b|\b(deep|low) enough\b|\b(good|enough|not enough|legal|full|competition) depth\b|\b(made|missed|hit) depth\b/i },
  { what: 'a cause of pain or injury', words: /\b(pain|hurts?|ache|injur\w+|strain\w*|tear|tendon\w*|impingement)\b[^.]*\b(because|caused?|causes|comes? from|due to|result of|explains?)\b|\b(cause[sd]?|leads? to|risk of)\b[^.]*\b(pain|injur\w+)\b/i },
  { what: 'a weak muscle', words: /\b(weak|under-?active|lagging|tight|imbalanced?)\b[^.]*\b(muscles?|glutes?|quads?|hamstrings?|triceps?|chest|pecs?|lats?|back|core|delts?|hips?|shoulders?)\b|\b(muscles?|glutes?|quads?|hamstrings?|triceps?|pecs?|lats?|core|delts?)\b[^.]*\b(weak\w*|not firing|under-?active|lagging)\b/i },
  { what: 'a percentage of the maximum', words: /%\s*(of\s*)?(your\s*|the\s*)?(1\s?rm\b|one[- ]rep|max(imum)?\b|best\b)|\b(1\s?rm|one[- ]rep max(imum)?)\b/i },
  { what: 'a comparison with other lifters', words: /\b(other|most|better|stronger|elite|average|typical) lifters?\b|\bfor your (weight|size|age|class)\b|\bthan (others|average)\b/i },
  { what: 'advice to add load', words: /\b(add|increase|put|go up|load up)\b[^.,;:]*\b(load|weight|kilos?|kg|plates?)\b|\b(ready for|go|lift|try|take|use) (heavier|more (weight|load|kilos?))\b|\bheavier (next|bar|attempt)\b/i },
]; // prettier-ignore
