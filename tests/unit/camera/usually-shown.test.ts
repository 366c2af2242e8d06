import { describe, expect, it } from 'vitest';
import { showsDisc, showsDiscAnew, usuallyShown } from '../../../shared-lib/camera/usually-shown.ts';

describe('what a picture shows of the disc beside what is usually seen of it', () => {
  const usual = usuallyShown([
    [3, 3, 2, 1, 3, 3, 2, 0],
    [3, 4, 2, 1, 3, 3, 2, 0],
    [0, 2, 2, 1, 9, 3, 2, 0],
  ]);

  it('is told by the middle picture for each eighth, whatever passed before the disc in one of them', () => {
    expect(usual).toEqual([3, 3, 2, 1, 3, 3, 2, 0]);
  });

  it('is the disc with six eighths hidden, the others as they are', () => {
    expect(showsDisc([3, 2.6, 0.3, 0.2, 0.5, 0.9, 0.4, 0], usual)).toBe(true);
  });

  it('is the disc again, once it was lost, where half of what usually shows does as usual, however little that is of the whole', () => {
    expect(showsDiscAnew([3, 2.6, 1.6, 0.2, 2.4, 0.9, 0.4, 0], usual)).toBe(true);
    expect(showsDiscAnew([3, 2.6, 0.3, 0.9, 0.5, 0.9, 0.4, 0], usual)).toBe(false);
    expect(showsDiscAnew([3, 0, 0, 0, 0, 0, 2.9, 2.9], [3, 0.1, 0, 0, 0.2, 0.1, 3, 3])).toBe(true);
    expect(showsDiscAnew([3, 0.4, 0.3, 0.3, 0.9, 0.8, 0.4, 0.4], [3, 0.1, 0, 0, 0.2, 0.1, 3, 3])).toBe(false);
  });

  it('is something else where edges lie near the curves all round and in one eighth alone on them', () => {
    expect(showsDisc([1.8, 1.9, 1.2, 0.9, 1.9, 1.8, 1.2, -0.1], usual)).toBe(false);
  });
});
