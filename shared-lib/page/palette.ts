/**
 * Colours of the page. Reference and today are blue and vermilion of Okabe & Ito, Color Universal Design
 * (2002, revised 2008); all else is ink on paper. Contrast is checked by the tests against WCAG 2.2.
 */
export interface Palette {
  paper: string;
  /** Ground of charts' zones, table heads and notes. */
  tint: string;
  ink: string;
  muted: string;
  rule: string;
  /** Blocks and bands: a middle grey that text never stands on in muted ink. */
  mid: string;
  link: string;
  reference: string;
  today: string;
}

export const light: Palette = {
  paper: '#ffffff',
  tint: '#f1f3f6',
  ink: '#1a1f25',
  muted: '#4d5661',
  rule: '#d3d8de',
  mid: '#cfd6de',
  link: '#00527f',
  reference: '#0072B2',
  today: '#D55E00',
};

export const dark: Palette = {
  paper: '#14171a',
  tint: '#1d2125',
  ink: '#e8ebee',
  muted: '#abb3bc',
  rule: '#363d45',
  mid: '#454e58',
  link: '#8cc6ea',
  reference: '#0072B2',
  today: '#D55E00',
};

export const customProperties = (p: Palette): string =>
  Object.entries(p)
    .map(([name, value]) => `--${name}:${value};`)
    .join('');
