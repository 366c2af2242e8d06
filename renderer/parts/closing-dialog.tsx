import type { ReactNode } from 'react';
import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import './dialog.css';

/** A dialog that only tells: opened by a button in the frame, and closed by another, by Escape or by a press beside it. */
export function ClosingDialog({
  opener,
  title,
  className,
  isOpen,
  onOpenChange,
  children,
}: {
  /** What stands on the button that opens it. */
  opener: string;
  title: ReactNode;
  className: string;
  isOpen: boolean;
  onOpenChange: (isOpen: boolean) => void;
  children: ReactNode;
}) {
  return (
    <DialogTrigger isOpen={isOpen} onOpenChange={onOpenChange}>
      <Button className="button bare">{opener}</Button>
      <ModalOverlay className="veil" isDismissable>
        <Modal className="modal">
          <Dialog className={`dialog ${className}`}>
            <Heading slot="title">{title}</Heading>
            {children}
            <Button slot="close" className="button first">
              Close
            </Button>
          </Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}
