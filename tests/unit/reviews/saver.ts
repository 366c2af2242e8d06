import { documentsOf, type SavedKind } from './saved-kinds.ts';

/** Saves a document over and over, and tells each save once it is kept: a program to be killed. */
const [root, kind, id, most] = process.argv.slice(2);
const documents = documentsOf(root, kind as SavedKind);
for (let n = 0; n < Number(most); n += 1) {
  const document = await documents.open(id);
  const revision = await document.keep(`save ${document.revision + 1}`);
  if (revision === null) throw new Error('Somebody else saved it.');
  process.stdout.write(`${revision}\n`);
}
