import { Button, Header, Menu, MenuItem, MenuSection, MenuTrigger, Popover } from 'react-aria-components';
import { menuList, type MenuPart } from '../state/menu-list.ts';
import { useTheme } from '../state/theme.ts';
import { keyWords } from './key-words.ts';

/** Everything that can be done where the user is, with its key; and how the screens look. */
export function ProgramMenu() {
  // A choice of appearance is shown at once.
  useTheme();
  return (
    <MenuTrigger>
      <Button className="button bare">Menu</Button>
      <Popover className="menu-popover" placement="bottom end">
        {/* Built anew each time it opens: what can be done changes with the screen. */}
        <Parts />
      </Popover>
    </MenuTrigger>
  );
}

function Parts() {
  useTheme();
  return (
    <Menu className="menu" aria-label="Menu">
      {menuList().map((part) => (
        <Part key={part.name} part={part} />
      ))}
    </Menu>
  );
}

function Part({ part: { name, items } }: { part: MenuPart }) {
  const isChoice = items.some(({ chosen }) => chosen !== null);
  const entries = items.map(({ label, key, enabled, chosen, perform }) => (
    <MenuItem
      key={label}
      id={label}
      data-label={label}
      textValue={label}
      isDisabled={!enabled}
      onAction={() => !isChoice && perform()}
    >
      {label}
      {key !== null && <kbd>{keyWords(key)}</kbd>}
      {isChoice && <span aria-hidden>{chosen ? '•' : ''}</span>}
    </MenuItem>
  ));
  if (!isChoice)
    return (
      <MenuSection>
        <Header className="group-name">{name}</Header>
        {entries}
      </MenuSection>
    );
  return (
    <MenuSection
      selectionMode="single"
      selectedKeys={items.flatMap(({ label, chosen }) => (chosen ? [label] : []))}
      onSelectionChange={(keys) => items.find(({ label }) => keys !== 'all' && keys.has(label))?.perform()}
    >
      <Header className="group-name">{name}</Header>
      {entries}
    </MenuSection>
  );
}
