import { describe, expect, it } from 'vitest';
import { cameraNotes } from '../../../shared-lib/camera/camera-notes.ts';

const user = { plumb: 'user', rollRad: 0.02 } as const;

describe('cameraNotes', () => {
  it('has nothing to say of a camera that was seen to stand still, level and straight', () => {
    expect(cameraNotes({ backgroundShare: 1 }, user)).toEqual([]);
    expect(cameraNotes({}, { plumb: 'none', rollRad: 0 })).toEqual([]);
  });

  it('says when no background was there to tell by', () => {
    expect(cameraNotes({ backgroundShare: 0 }, user)[0]).toContain(
      'In 100 % of the clip too little background',
    );
    expect(cameraNotes({ backgroundShare: 0.79 }, user)[0]).toContain('21 %');
    expect(cameraNotes({ backgroundShare: 0.81 }, user)).toEqual([]);
  });

  it('says where up comes from when nobody marked it', () => {
    const [note] = cameraNotes({}, { plumb: 'proposed', rollRad: (-1.5 * Math.PI) / 180 });
    expect(note).toContain('upright edges behind the lifter');
    expect(note).toContain('leans by 1.5 degrees');
    expect(cameraNotes({}, { plumb: 'proposed', rollRad: 0 })[0]).toContain('stands upright');
  });

  it('says what the lens did', () => {
    expect(cameraNotes({ lens: { kappa: -0.04, sigma: 0.004 } }, user)[0]).toContain('by 4 %');
  });
});
