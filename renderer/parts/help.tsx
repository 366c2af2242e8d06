import { useEffect, useState } from 'react';
import { allActions, offer } from '../state/actions.ts';
import { ClosingDialog } from './closing-dialog.tsx';
import { keyWords } from './key-words.ts';
import './help.css';

/** Every key of the screen that is open. */
export function Help() {
  const [open, setOpen] = useState(false);
  useEffect(
    () =>
      offer([{ label: 'Show the keys', keys: ['?', 'Shift+?'], step: null, perform: () => setOpen(true) }]),
    [],
  );
  return (
    <ClosingDialog opener="Keys" title="Keys" className="help" isOpen={open} onOpenChange={setOpen}>
      <dl>
        {allActions().map(({ label, keys }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>
              {keys.slice(0, 2).map((key) => (
                <kbd key={key}>{keyWords(key)}</kbd>
              ))}
            </dd>
          </div>
        ))}
      </dl>
    </ClosingDialog>
  );
}
