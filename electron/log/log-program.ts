import type { Desk } from '../desk/handlers.ts';
import { systemWords } from './report.ts';

/** Writes down that the program started, and what ends it if nothing catches it. */
export function logProgram({ log, parts }: Pick<Desk, 'log' | 'parts'>, shell: 'window' | 'browser'): void {
  const { node } = process.versions;
  log.write({ event: 'started', shell, version: parts.version, system: systemWords(), node });
  // A rejection that nobody handles comes here too.
  process.on('uncaughtExceptionMonitor', (error) => {
    log.write({ event: 'fault', where: 'program', error: log.shapeOf(error) });
  });
}
