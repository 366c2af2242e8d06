/** A piece of HTML or SVG that is safe to insert as it stands. Anything else is text and gets escaped. */
export class Markup {
  constructor(readonly text: string) {}
  toString(): string {
    return this.text;
  }
}

export type Content = Markup | string | number | null | undefined | readonly Content[];

const entities: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

// XML forbids these even when escaped, and no file name needs them on a page.
const unprintable = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\ufffe\uffff]/g; // eslint-disable-line no-control-regex

/** Text made safe for element content and for quoted attribute values. */
export function escapeText(text: string): string {
  return text.replace(unprintable, '\ufffd').replace(/[&<>"']/g, (c) => entities[c]);
}

function render(content: Content): string {
  if (content === null || content === undefined) return '';
  if (content instanceof Markup) return content.text;
  if (typeof content === 'object') return content.map(render).join('');
  return escapeText(String(content));
}

/** Template tag: what stands in the template is markup, what is put into it is escaped unless it is Markup. */
export function html(parts: TemplateStringsArray, ...values: Content[]): Markup {
  return new Markup(parts.reduce((out, part, i) => out + render(values[i - 1]) + part));
}

export type Attributes = Record<string, string | number | null>;

/** At most two decimals: a hundredth of a pixel is finer than any screen. */
const attributeText = (value: string | number) =>
  typeof value === 'number' ? String(Math.round(value * 100) / 100 + 0) : value;

/** One element; attributes that are null are left out. */
export function element(name: string, attributes: Attributes = {}, ...children: Content[]): Markup {
  const attrs = Object.entries(attributes)
    .filter(([, v]) => v !== null)
    .map(([k, v]) => ` ${k}="${escapeText(attributeText(v as string | number))}"`)
    .join('');
  const inner = render(children);
  return new Markup(inner === '' ? `<${name}${attrs}/>` : `<${name}${attrs}>${inner}</${name}>`);
}
