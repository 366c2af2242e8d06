import { writeFileSync } from 'node:fs';
import { startChild } from '../../../electron/media/process.ts';

/** A parent to be killed: starts a program and leaves its process id in a file. */
const [program, pidFile, ...args] = process.argv.slice(2);
writeFileSync(pidFile, String(startChild(program, args).pid));
setInterval(() => undefined, 1000);
