import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { useEffect, useState } from 'react';
import { allActions, offer } from '../state/actions.ts';
import './dialog.css';
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
    <DialogTrigger isOpen={open} onOpenChange={setOpen}>
      <Button className="button bare">Keys</Button>
      <ModalOverlay className="veil" isDismissable>
        <Modal className="modal">
          <Dialog className="dialog help">
            <Heading slot="title">Keys</Heading>
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
            <Button slot="close" className="button first">
              Close
            </Button>
          </Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}
