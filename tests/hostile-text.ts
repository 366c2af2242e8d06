import fc from 'fast-check';

/** Pieces that mean something to a page, a caption, a table, a shell, a path or ffmpeg, and plain ones between them. */
const pieces = [
  ...[
    '<script>alert(1)</script>',
    '</p>',
    '<img src=x onerror=y>',
    '&amp;',
    '&#60;',
    '"',
    "'",
    '`',
    '-->',
    ']]>',
  ],
  ...['{\\fs200}', '{\\p1}', '\\N', '\\h', '{', '}', '\\', 'm 0 0 l 9 9', '\\{', '\\}'],
  ...['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', ',', ';', '|', '\r'],
  ...['$(touch x)', '`touch x`', '; rm -r x', '&& x', '%n', '%d', '$HOME', '>x'],
  ...['../', '..\\', '/etc/passwd', 'C:\\x', 'file:', 'http://127.0.0.1/', 'concat:', '\0', 'NUL', '.', '~'],
  ...["movie='x'", '[0:v]', ':enable=1', 'drawtext=text=x', 'ass=x'],
  ...['\u202e', '\u2028', '💪🏽', '力', 'é', 'ﬁ', 'Rowan', ' ', 'a', '7'],
];

/** Text as a stranger may put it into a name, a note or a clip's metadata. */
export const hostileText = (maxLength = 8): fc.Arbitrary<string> =>
  fc.oneof(
    fc.array(fc.constantFrom(...pieces), { minLength: 1, maxLength }).map((some) => some.join('')),
    fc.string({ unit: 'binary', minLength: 1, maxLength: 40 }),
  );
