import { Button, Header, Menu, MenuItem, MenuSection, MenuTrigger, Popover } from 'react-aria-components';
import { allActions, type Action } from '../state/actions.ts';
import { setTheme, themes, useTheme, type Theme } from '../state/theme.ts';
import { keyWords } from './key-words.ts';

const themeWords: Record<Theme, string> = {
  system: 'As the system',
  light: 'Light',
  dark: 'Dark',
};

/** Everything that can be done where the user is, with its key; and how the screens look. */
export function ProgramMenu() {
  const theme = useTheme((state) => state.theme);
  return (
    <MenuTrigger>
      <Button className="button bare">Menu</Button>
      <Popover className="menu-popover" placement="bottom end">
        {/* Built anew each time it opens: what can be done changes with the screen. */}
        <Actions theme={theme} />
      </Popover>
    </MenuTrigger>
  );
}

function Actions({ theme }: { theme: Theme }) {
  const all = allActions();
  const here = all.filter(({ step }) => step !== null);
  const everywhere = all.filter(({ step }) => step === null);
  return (
    <Menu className="menu" aria-label="Menu">
      {here.length > 0 && <Section name={here[0].step ?? ''} actions={here} />}
      <Section name="Everywhere" actions={everywhere} />
      <MenuSection
        selectionMode="single"
        selectedKeys={[theme]}
        onSelectionChange={(keys) => {
          const wanted = themes.find((each) => keys !== 'all' && keys.has(each));
          if (wanted) setTheme(wanted);
        }}
      >
        <Header className="group-name">Appearance</Header>
        {themes.map((each) => (
          <MenuItem key={each} id={each} textValue={themeWords[each]}>
            {themeWords[each]}
            <span aria-hidden>{each === theme ? '•' : ''}</span>
          </MenuItem>
        ))}
      </MenuSection>
    </Menu>
  );
}

function Section({ name, actions }: { name: string; actions: readonly Action[] }) {
  return (
    <MenuSection>
      <Header className="group-name">{name}</Header>
      {actions.map(({ label, keys, enabled, perform }) => (
        <MenuItem
          key={label}
          id={label}
          textValue={label}
          isDisabled={!(enabled?.() ?? true)}
          onAction={perform}
        >
          {label}
          <kbd>{keyWords(keys[0])}</kbd>
        </MenuItem>
      ))}
    </MenuSection>
  );
}
