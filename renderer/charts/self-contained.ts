/** What a picture needs to look the same without this page's style sheets. */
const kept = [
  ...['fill', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-dasharray', 'stroke-linecap'],
  ...['stroke-linejoin', 'opacity', 'font-family', 'font-size', 'font-weight', 'text-anchor'],
  ...['dominant-baseline', 'visibility', 'display'],
];

/** What belongs to working with a chart, not to the picture of it. */
const notPictured = '.playhead, .reach, .point-figures, .wished-handle, .grip, [data-not-pictured]';

/** A chart as an SVG file that stands alone: its styles written into it, its name and description with it, on its own ground. */
export function selfContained(chart: SVGSVGElement, title: string): string {
  const copy = chart.cloneNode(true) as SVGSVGElement;
  const [from, to] = [elementsOf(chart), elementsOf(copy)];
  from.forEach((element, i) => {
    const style = getComputedStyle(element);
    for (const name of kept) {
      const value = style.getPropertyValue(name);
      if (value !== '') to[i].setAttribute(name, value);
    }
    for (const { name } of [...to[i].attributes])
      if (/^(class|style|tabindex|role|aria-|data-)/.test(name)) to[i].removeAttribute(name);
  });
  // Marked in the chart itself, since the copy has lost its classes.
  from.forEach((element, i) => element.matches(notPictured) && to[i].remove());
  const { width, height } = chart.getBoundingClientRect();
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('viewBox', `0 0 ${Math.round(width)} ${Math.round(height)}`);
  copy.setAttribute('role', 'img');
  const ground = made('rect', { width: '100%', height: '100%', fill: groundOf(chart) });
  copy.prepend(
    withText(made('title'), title),
    withText(made('desc'), chart.getAttribute('aria-label') ?? title),
    ground,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}\n`;
}

const elementsOf = (root: SVGElement): SVGElement[] => [root, ...root.querySelectorAll<SVGElement>('*')];

function made(name: string, attributes: Record<string, string> = {}): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

function withText(element: SVGElement, text: string): SVGElement {
  element.textContent = text;
  return element;
}

/** The first colour behind the chart that is not see-through. */
function groundOf(chart: Element): string {
  for (let at: Element | null = chart; at; at = at.parentElement) {
    const colour = getComputedStyle(at).backgroundColor;
    if (colour !== 'transparent' && !/rgba\(.*, 0\)$/.test(colour)) return colour;
  }
  return '#ffffff';
}
