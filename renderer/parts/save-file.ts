/** Hands a text to the browser, or the window, to be saved as a file under a name that its user can change. */
export function saveText(text: string, name: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The save has begun by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** A text as a file's name: letters, digits and hyphens. */
export const fileName = (text: string): string =>
  text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{Letter}\p{Number}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'review';
