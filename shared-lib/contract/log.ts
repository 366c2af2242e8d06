import { z } from 'zod';
import { commandNames, failureKindSchema, type CommandName } from './desk.ts';

const command = z.enum(commandNames as [CommandName, ...CommandName[]]);

/** What is kept of an error: never its message, which may hold a name, a note or a path. */
export const errorShapeSchema = z.object({
  /** The kind of error, of those the program knows; else `other`. */
  name: z.string(),
  /** The system's or Node's own code. */
  code: z.string().nullable(),
  /** Places in the program's own scripts, the innermost first: `file:line:column`. */
  at: z.array(z.string()),
});
export type ErrorShape = z.infer<typeof errorShapeSchema>;

/** Everything that the log can hold: nothing that comes from a person, a clip or the disk has a place in it. */
export const logEntrySchema = z.discriminatedUnion('event', [
  z.object({
    event: z.literal('started'),
    shell: z.enum(['window', 'browser']),
    version: z.string(),
    system: z.string(),
    node: z.string(),
  }),
  z.object({ event: z.literal('stopped'), why: z.enum(['asked', 'idle']) }),
  z.object({ event: z.literal('failed'), command, kind: failureKindSchema }),
  z.object({
    event: z.literal('fault'),
    where: z.union([command, z.enum(['clip in the queue', 'server', 'program', 'page'])]),
    error: errorShapeSchema,
  }),
  z.object({ event: z.literal('restarted'), what: z.string(), error: errorShapeSchema }),
  z.object({ event: z.literal('clip done'), stage: z.enum(['ready', 'needs you']) }),
]);
export type LogEntry = z.infer<typeof logEntrySchema>;
