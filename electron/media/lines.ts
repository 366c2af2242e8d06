/** Cuts a stream of text into lines; ends may be LF, CR LF or a lone CR (as status lines use). */
export function lineSplitter(onLine: (line: string) => void): {
  push: (text: string) => void;
  end: () => void;
} {
  let rest = '';
  return {
    push(text) {
      const lines = (rest + text).split(/\r\n|\n|\r(?!$)/);
      rest = lines.pop() ?? '';
      for (const line of lines) if (line !== '') onLine(line);
    },
    end() {
      const line = rest.replace(/\r$/, '');
      if (line !== '') onLine(line);
      rest = '';
    },
  };
}
