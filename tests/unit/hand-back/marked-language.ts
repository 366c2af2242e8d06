/**
 * A language without letters: each text is a pair of brackets round its digits and signs, each sentence one round what is put
 * into it. A letter that is left anywhere comes from somewhere else.
 */
export function marked<T>(value: T): T {
  if (typeof value === 'string') return `⟦${value.replace(/\p{L}+/gu, '')}⟧` as T;
  if (typeof value === 'function')
    return ((...given: unknown[]) => `⟦${given.flat().map(shown).join(' ¦ ')}⟧`) as T;
  if (Array.isArray(value)) return value.map(marked) as T;
  if (value !== null && typeof value === 'object' && !(value instanceof RegExp))
    return Object.fromEntries(
      Object.entries(value).map(([key, each]) => [key, marked(each as unknown)]),
    ) as T;
  return value;
}

const shown = (given: unknown): string =>
  given instanceof Date ? given.toISOString().replace(/\D/g, ' ') : typeof given === 'string' ? given : '';

const units = /(?<![\p{L}\p{N}])(?:cm|mm|m\/s|m|s|kg|Hz)(?!\p{L})|(?<=\d)x(?=\d)/gu;

/** What of a text has letters and is neither a unit nor what people said. */
export function unmarked(text: string, said: readonly string[]): string[] {
  const left = said.reduce((rest, each) => rest.replaceAll(each, '').replaceAll(inside(each), ''), text);
  return left.replace(units, '').match(/\p{L}[\p{L}\p{M}’' -]*/gu) ?? [];
}

const inside = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const entities: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };

/** Every text of a page that is seen or read out. */
export function visibleTexts(html: string): string[] {
  const body = html.replace(/<style>.*?<\/style>/s, '').replace(/<!doctype html>/i, '');
  const attributes = [...body.matchAll(/\s(?:aria-label|alt|title|placeholder)="([^"]*)"/g)].map(
    ([, text]) => text,
  );
  return [...body.split(/<[^>]*>/), ...attributes]
    .map((text) => text.replace(/&(#?\w+);/g, (_, name: string) => entities[name] ?? '').trim())
    .filter((text) => text !== '');
}
