import { licenceOf } from '../about/parts.ts';
import { ffmpegVersion, reportText, systemWords } from '../log/report.ts';
import type { Desk } from './handlers.ts';
import type { Handlers } from './switchboard.ts';

/** The commands about the program itself. */
export function aboutHandlers(desk: Desk): Pick<Handlers, 'about' | 'licence' | 'report'> {
  const { parts, log } = desk;
  return {
    about: async () => ({
      version: parts.version,
      system: systemWords(),
      ffmpeg: await ffmpegVersion(desk.tools),
      logFolder: log.folder,
      parts: parts.parts.map(({ name, version, licence }) => ({ name, version, licence })),
    }),
    licence: ({ name, version }) => Promise.resolve({ text: licenceOf(parts, name, version) }),
    report: async () => ({ text: await reportText(parts.version, log, desk.tools) }),
  };
}
