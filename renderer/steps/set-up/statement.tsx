import { useState, type ReactNode } from 'react';

/** One thing about a clip: a line that says how it is, with a way to change it; or the question, while it is open. */
export function Statement({
  title,
  says,
  isAsked = false,
  isOpen,
  onOpen,
  children,
}: {
  title: string;
  says: ReactNode;
  /** Nobody has said it yet, and it matters. */
  isAsked?: boolean;
  /** Where what is open is decided outside. */
  isOpen?: boolean;
  onOpen?: (open: boolean) => void;
  children: ReactNode;
}) {
  const [own, setOwn] = useState(false);
  const open = isOpen ?? own;
  const set = onOpen ?? setOwn;
  return (
    <div className="statement" role="group" aria-label={title}>
      <h3>{title}</h3>
      <p>{says}</p>
      {!isAsked && (
        <button
          className="button bare change-it"
          aria-expanded={open}
          aria-label={open ? `Done with ${title.toLowerCase()}` : `Change ${title.toLowerCase()}`}
          onClick={() => set(!open)}
        >
          {open ? 'Done' : 'Change'}
        </button>
      )}
      {(open || isAsked) && <div className="statement-body">{children}</div>}
    </div>
  );
}
