const arrows: Record<string, string> = { ArrowLeft: '←', ArrowRight: '→', ArrowUp: '↑', ArrowDown: '↓' };

/** A key as it is printed: "Ctrl + ↑", "Space", "+". */
export const keyWords = (key: string): string =>
  key === ' '
    ? 'Space'
    : key
        .replace(/Arrow\w+/, (arrow) => arrows[arrow] ?? arrow)
        .replace(/^((?:Ctrl\+|Alt\+|Shift\+)*)(.+)$/, (_, held: string, last: string) => held.replaceAll('+', ' + ') + last); // prettier-ignore
