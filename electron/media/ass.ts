/**
 * Captions and drawings in the Advanced SubStation format, which ffmpeg's libass draws. Written after the
 * format's description as implemented there; sizes are the film's own pixels.
 */

export interface AssEvent {
  layer: number;
  /** Seconds of the film, from (included) to (excluded). */
  fromS: number;
  toS: number;
  style: string;
  /** Already escaped; may hold override tags. */
  text: string;
}

export interface AssStyle {
  name: string;
  sizePx: number;
  bold?: boolean;
  /** #RRGGBB */
  colour: string;
}

/** Family of the font that comes with the program. */
const fontFamily = 'DejaVu Sans';

/** Invisible, keeps a backslash from making a tag of the letter after it: Unicode's word joiner. */
const wordJoiner = '\u2060';

/** Makes text from outside harmless: no tags, no line breaks, no control characters. */
export function escapeText(text: string): string {
  return text
    .replace(/[\p{Cc}\u2028\u2029]+/gu, ' ')
    .replaceAll('\\', `\\${wordJoiner}`)
    .replaceAll('{', '\\{')
    .replaceAll('}', '\\}');
}

/** &HBBGGRR& from #RRGGBB. */
export function assColour(colour: string): string {
  return `&H${colour.slice(5, 7)}${colour.slice(3, 5)}${colour.slice(1, 3)}&`.toUpperCase();
}

/** h:mm:ss.cc; hundredths rounded down, so that an event begins no later than its picture. */
export function assTime(timeS: number): string {
  // The smallest step beyond rounding noise: k / 30 must not fall below its hundredth.
  const hundredths = Math.floor(timeS * 100 + 1e-6);
  const two = (value: number): string => String(value).padStart(2, '0');
  const wholeS = Math.floor(hundredths / 100);
  return `${Math.floor(wholeS / 3600)}:${two(Math.floor(wholeS / 60) % 60)}:${two(wholeS % 60)}.${two(hundredths % 100)}`;
}

/** A complete script. */
export function assScript(
  size: { width: number; height: number },
  styles: readonly AssStyle[],
  events: readonly AssEvent[],
): string {
  const styleLines = styles.map(
    ({ name, sizePx, bold, colour }) =>
      `Style: ${name},${fontFamily},${sizePx},${assColour(colour).slice(0, -1)},&H00000000,${bold ? -1 : 0},1,0,0,7,48,48,0`,
  );
  const eventLines = events.map(
    ({ layer, fromS, toS, style, text }) =>
      `Dialogue: ${layer},${assTime(fromS)},${assTime(toS)},${style},0,0,0,${text}`,
  );
  return [
    '[Script Info]',
    'ScriptType: v4.00+',
    `PlayResX: ${size.width}`,
    `PlayResY: ${size.height}`,
    'WrapStyle: 2',
    'ScaledBorderAndShadow: yes',
    'YCbCr Matrix: TV.709',
    '',
    '[V4+ Styles]',
    'Format: Name, Fontname, Fontsize, PrimaryColour, OutlineColour, Bold, BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR, MarginV',
    ...styleLines,
    '',
    '[Events]',
    'Format: Layer, Start, End, Style, MarginL, MarginR, MarginV, Text',
    ...eventLines,
    '',
  ].join('\n');
}

/**
 * A path as an argument of a filter inside a filter graph. The graph's parser and the filter's own each take
 * one level of escapes away; a backslash of a Windows path is a slash there.
 */
export function filterPath(path: string, platform: NodeJS.Platform = process.platform): string {
  const plain = platform === 'win32' ? path.replaceAll('\\', '/') : path;
  const forFilter = plain.replace(/[\\':]/g, '\\$&');
  return forFilter.replace(/[\\'[\],;]/g, '\\$&');
}
