import path from 'node:path';
import { LifterFolder } from '../../../electron/lifters/lifter-folder.ts';
import type { Document, DocumentFolder } from '../../../electron/reviews/document-folder.ts';
import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';

/** Both kinds of document that the program keeps: everything that holds for one is tried on the other too. */
export const savedKinds = ['review', 'lifter'] as const;
export type SavedKind = (typeof savedKinds)[number];

/** A document as a test sees it: its revision and one text that a person wrote. */
export interface Opened {
  revision: number;
  text: string;
  /** Keeps another text over the revision that was opened. */
  keep(text: string): Promise<number | null>;
}

export interface Documents {
  /** A new one; its id. */
  start(): Promise<string>;
  open(id: string): Promise<Opened>;
  history(id: string): Promise<number[]>;
  takeBack(id: string, revision: number): Promise<Opened>;
  /** Why a document that is listed cannot be read; null where it can. */
  trouble(id: string): Promise<string | null>;
  /** The file of the document itself. */
  file(id: string): string;
}

export function documentsOf(root: string, kind: SavedKind): Documents {
  if (kind === 'review') {
    const reviews = new ReviewFolder(root);
    return over(reviews, 'review.json', 'title', async () => (await reviews.start(new Date(0))).id);
  }
  const lifters = new LifterFolder(root);
  return over(lifters, 'lifter.json', 'notes', async () => (await lifters.start('A', new Date(0))).id);
}

function over<Field extends string, T extends Document & Record<Field, string>>(
  folder: DocumentFolder<T>,
  file: string,
  field: Field,
  start: () => Promise<string>,
): Documents {
  const opened = (document: T): Opened => ({
    revision: document.revision,
    text: document[field],
    keep: (text) => folder.keep({ ...document, [field]: text }),
  });
  return {
    start,
    open: async (id) => opened(await folder.open(id)),
    history: async (id) => (await folder.history(id)).map(({ revision }) => revision),
    takeBack: async (id, revision) => opened(await folder.takeBack(id, revision)),
    trouble: async (id) => {
      const entry = (await folder.all()).find((each) => each.id === id);
      return entry && 'trouble' in entry ? entry.trouble : null;
    },
    file: (id) => path.join(folder.folderOf(id), file),
  };
}
