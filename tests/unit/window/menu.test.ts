import { describe, expect, it } from 'vitest';
import { acceleratorOf, menuOf } from '../../../electron/window/menu.ts';
import { menuSchema } from '../../../shared-lib/contract/menu.ts';

interface Item {
  label: string;
  enabled: boolean;
  type?: string;
  checked?: boolean;
  accelerator?: string;
  registerAccelerator?: boolean;
  click: () => void;
}

describe('the window’s menu', () => {
  const list = menuSchema.parse([
    {
      name: 'Line up',
      items: [
        { label: 'One frame on', key: 'ArrowRight', enabled: true, chosen: null },
        { label: 'Loop', key: 'o', enabled: false, chosen: null },
      ],
    },
    { name: 'Appearance', items: [{ label: 'Dark', key: null, enabled: true, chosen: true }] },
  ]);
  const did: string[] = [];
  const template = menuOf('Lockstep', list, {
    choose: (label) => did.push(label),
    openLog: () => did.push('log'),
  });
  const part = (name: string): Item[] => template.find(({ label }) => label === name)!.submenu as Item[];

  it('has each part that the page says, in its order, and tells which item was chosen', () => {
    const names = template.flatMap(({ label }) => (label ? [label] : []));
    expect(names.filter((name) => name !== 'Lockstep')).toEqual(['Edit', 'Line up', 'Appearance', 'View']);
    expect(part('Line up').map(({ label, enabled }) => [label, enabled])).toEqual([
      ['One frame on', true],
      ['Loop', false],
    ]);
    expect(part('Appearance')[0]).toMatchObject({ type: 'radio', checked: true });
    part('Line up')[0].click();
    part('Appearance')[0].click();
    expect(did).toEqual(['One frame on', 'Dark']);
  });

  it('shows keys and leaves answering them to the page', () => {
    expect(part('Line up')[0]).toMatchObject({ accelerator: 'Right', registerAccelerator: false });
    expect(part('Appearance')[0].accelerator).toBeUndefined();
  });

  it('opens the log’s folder', () => {
    (template.at(-1)!.submenu as Item[])[0].click();
    expect(did.at(-1)).toBe('log');
  });

  it.each([
    ['Ctrl+Shift+z', 'CommandOrControl+Shift+Z'],
    ['Alt+1', 'Alt+1'],
    [' ', 'Space'],
    ['+', 'Plus'],
    ['?', '?'],
    ['Home', 'Home'],
    ['é', null],
  ])('writes the key %s as %s', (key, accelerator) => {
    expect(acceleratorOf(key)).toBe(accelerator);
  });
});
