import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { act, historyOf, move, redo, undo, type History } from '../../../renderer/state/history.ts';

interface Doc {
  name: string;
  marks: number[];
  at: number;
}
const start: Doc = { name: '', marks: [], at: 0 };

describe('history', () => {
  it('takes back and does again, each under its label', () => {
    const named = act(historyOf(start), 'Name it', (doc) => void (doc.name = 'one'));
    const marked = act(named, 'Mark', (doc) => void doc.marks.push(7));
    expect(marked.done.map(({ label }) => label)).toEqual(['Name it', 'Mark']);
    const back = undo(marked);
    expect(back.now).toEqual({ name: 'one', marks: [], at: 0 });
    expect(redo(back).now).toEqual(marked.now);
  });

  it('forgets what was undone once something else is done', () => {
    const back = undo(act(historyOf(start), 'Name it', (doc) => void (doc.name = 'one')));
    const other = act(back, 'Name it', (doc) => void (doc.name = 'two'));
    expect(redo(other)).toBe(other);
  });

  it('counts nothing that changed nothing, and no move', () => {
    const history = historyOf(start);
    expect(act(history, 'Nothing', (doc) => void (doc.name = ''))).toBe(history);
    expect(move(history, (doc) => void (doc.at = 3)).done).toEqual([]);
  });

  it('keeps moves made between a deed and its undoing', () => {
    const named = act(historyOf(start), 'Name it', (doc) => void (doc.name = 'one'));
    expect(undo(move(named, (doc) => void (doc.at = 3))).now).toEqual({ name: '', marks: [], at: 3 });
  });

  it('takes a sentence back at once, and not letter by letter', () => {
    const type = (history: History<Doc>, text: string, spell = 1): History<Doc> =>
      [...text].reduce(
        (now, letter) => act(now, 'Write', (doc) => void (doc.name += letter), spell),
        history,
      );
    const two = type(historyOf(start), 'Stay tight. Push on');
    expect(two.done).toHaveLength(2);
    expect(undo(two).now.name).toBe('Stay tight. ');
    expect(undo(undo(two)).now.name).toBe('');
    expect(redo(redo(undo(undo(two)))).now.name).toBe('Stay tight. Push on');
    // After a pause, in another field, or where something else was done meanwhile, a step of its own.
    expect(type(type(historyOf(start), 'one'), ' two', 2).done).toHaveLength(2);
    const marked = act(type(historyOf(start), 'one'), 'Write', (doc) => void (doc.at = 3), 1);
    expect(type(marked, ' two').done).toHaveLength(3);
    expect(act(act(historyOf(start), 'Mark', (doc) => void doc.marks.push(7), 1), 'Mark', (doc) => void doc.marks.push(7), 1).done).toHaveLength(2); // prettier-ignore
  });

  it('undone as often as done, is where it began', () => {
    const deed = fc.oneof(
      fc.string().map((name) => (doc: Doc) => void (doc.name = name)),
      fc.integer().map((mark) => (doc: Doc) => void doc.marks.push(mark)),
      fc.constant((doc: Doc) => void doc.marks.pop()),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(deed, fc.option(fc.nat(2))), { maxLength: 30 }), (deeds) => {
        let history = deeds.reduce((now, [each, spell]) => act(now, 'do', each, spell), historyOf(start));
        const end = history.now;
        const steps = history.done.length;
        for (let i = 0; i < steps; i++) history = undo(history);
        expect(history.now).toEqual(start);
        for (let i = 0; i < steps; i++) history = redo(history);
        expect(history.now).toEqual(end);
      }),
    );
  });
});
