import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { act, historyOf, move, redo, undo } from '../../../renderer/state/history.ts';

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

  it('undone as often as done, is where it began', () => {
    const deed = fc.oneof(
      fc.string().map((name) => (doc: Doc) => void (doc.name = name)),
      fc.integer().map((mark) => (doc: Doc) => void doc.marks.push(mark)),
      fc.constant((doc: Doc) => void doc.marks.pop()),
    );
    fc.assert(
      fc.property(fc.array(deed, { maxLength: 30 }), (deeds) => {
        let history = deeds.reduce((now, each) => act(now, 'do', each), historyOf(start));
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
