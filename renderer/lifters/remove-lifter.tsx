import { useState } from 'react';
import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { Lifter } from '../../shared-lib/contract/lifter.ts';
import { askBelongings, removeLifter } from '../state/lifters.ts';
import '../parts/dialog.css';

/** Removes the lifter with everything that belongs to them, after a question that says what that is. */
export function RemoveLifter({ lifter }: { lifter: Pick<Lifter, 'id' | 'name'> }) {
  const [belongings, setBelongings] = useState<OutputOf<'lifterBelongings'> | null>(null);
  const ask = async (isOpen: boolean): Promise<void> =>
    setBelongings(isOpen ? await askBelongings(lifter.id) : null);
  const name = lifter.name || 'this lifter';
  return (
    <DialogTrigger isOpen={belongings !== null} onOpenChange={(isOpen) => void ask(isOpen)}>
      <Button className="button">Remove {name}…</Button>
      <ModalOverlay className="veil">
        <Modal className="modal">
          <Dialog role="alertdialog" className="dialog">
            {({ close }) => (
              <>
                <Heading slot="title">Remove {name} for good?</Heading>
                {belongings && <p>{whatGoes(belongings)}</p>}
                <p>
                  It cannot be taken back. To keep a copy, pack the lifter into a zip first and put it in
                  another place.
                </p>
                <div className="answers">
                  <Button slot="close" className="button first">
                    Keep
                  </Button>
                  <Button
                    className="button"
                    onPress={() => {
                      close();
                      void removeLifter(lifter.id);
                    }}
                  >
                    Remove everything
                  </Button>
                </div>
              </>
            )}
          </Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}

function whatGoes({ reviews, clips, clipsElsewhere }: OutputOf<'lifterBelongings'>): string {
  const going = [
    ...(reviews > 0
      ? [reviews === 1 ? 'one review with its history' : `${reviews} reviews with their history`]
      : []),
    ...(clips > 0 ? [clips === 1 ? 'one copy of a clip' : `${clips} copies of clips`] : []),
    'everything measured from them',
    'zips that were packed here',
  ];
  const stays =
    clipsElsewhere === 0
      ? ''
      : ` ${clipsElsewhere === 1 ? 'One clip lies' : `${clipsElsewhere} clips lie`} in folders of your own, and ${clipsElsewhere === 1 ? 'stays' : 'stay'} there.`;
  return `With the lifter go ${going.slice(0, -1).join(', ')} and ${going.at(-1)}.${stays} What was handed back into a folder of your choice stays there too.`;
}
