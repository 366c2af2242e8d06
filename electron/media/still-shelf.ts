import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { ClipStills } from './clip-stills.ts';
import type { StillsClip } from './stills.ts';

/** Pictures by frame index for the screens, of any clip, at a pane's size or in full. */
export class StillShelf {
  private folder: Promise<string> | null = null;
  private readonly clips = new Map<string, Promise<ClipStills>>();
  private readonly opened = new Set<ClipStills>();

  constructor(private readonly ffmpeg: () => string) {}

  /**
   * The stills of a clip at a width; null for the clip's own.
   *
   * @param clipOf what to know of the clip, asked once
   */
  of(sha256: string, widthPx: number | null, clipOf: () => Promise<StillsClip>): Promise<ClipStills> {
    const key = `${sha256}-${widthPx ?? 'full'}`;
    let stills = this.clips.get(key);
    if (!stills) {
      stills = this.open(sha256, widthPx, clipOf);
      this.clips.set(key, stills);
      stills.catch(() => this.clips.delete(key));
    }
    return stills;
  }

  private async open(
    sha256: string,
    widthPx: number | null,
    clipOf: () => Promise<StillsClip>,
  ): Promise<ClipStills> {
    this.folder ??= mkdtemp(path.join(tmpdir(), 'lockstep-pictures-'));
    const folder = path.join(await this.folder, sha256);
    const stills = new ClipStills(await clipOf(), widthPx, folder, this.ffmpeg(), () => this.share());
    this.opened.add(stills);
    return stills;
  }

  /** What is made ahead rests while somebody waits: the processor is theirs. */
  private share(): void {
    const all = [...this.opened];
    const isAsked = all.some((stills) => stills.isAsked);
    for (const stills of all) stills.rest(isAsked && !stills.isAsked);
  }

  /** Deletes the pictures of these clips. */
  async forget(clips: ReadonlySet<string>): Promise<void> {
    for (const [key, opened] of this.clips) {
      const sha256 = key.slice(0, 64);
      if (!clips.has(sha256)) continue;
      this.clips.delete(key);
      await opened.then((stills) => this.shut(stills)).catch(() => undefined);
      await rm(path.join(await this.folder!, sha256), { recursive: true, force: true });
    }
  }

  async close(): Promise<void> {
    const opened = [...this.clips.values()];
    this.clips.clear();
    await Promise.all(opened.map((each) => each.then((stills) => this.shut(stills)).catch(() => undefined)));
    if (this.folder) await rm(await this.folder, { recursive: true, force: true });
  }

  private shut(stills: ClipStills): Promise<void> {
    this.opened.delete(stills);
    return stills.close();
  }
}
