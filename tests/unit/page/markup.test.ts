import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { element, escapeText, html, Markup } from '../../../shared-lib/page/markup.ts';

describe('markup', () => {
  it('escapes what is put into a template, and keeps markup as it is', () => {
    const inner = html`<b>${'a < b & "c"'}</b>`;
    expect(html`<p>${inner}${null}${undefined}${[1, 'x>y']}</p>`.text).toBe(
      '<p><b>a &lt; b &amp; &quot;c&quot;</b>1x&gt;y</p>',
    );
  });

  it('builds elements with escaped attributes, rounded numbers and no attribute that is null', () => {
    expect(element('circle', { cx: 1.23456, cy: -0.001, r: null, class: 'a"b' }).text).toBe(
      '<circle cx="1.23" cy="0" class="a&quot;b"/>',
    );
    expect(element('text', {}, 'a<b', new Markup('<tspan/>')).text).toBe('<text>a&lt;b<tspan/></text>');
  });

  it('lets no character through that could end a text or a quoted attribute', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 30 }), (text) => {
        expect(escapeText(text)).not.toMatch(/[<>"']|&(?!(amp|lt|gt|quot|#39);)/);
      }),
    );
  });

  it('replaces control characters, which no parser accepts', () => {
    expect(escapeText('a\u0000b\u001bc\td\n')).toBe('a\ufffdb\ufffdc\td\n');
  });
});
