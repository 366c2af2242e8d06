import { z } from 'zod';

/** One thing a referee looks at, beside what this clip says of it. */
export const ruleViewSchema = z.object({
  name: z.string(),
  /** What is looked at, in our words. */
  looksAt: z.string(),
  /** How federations differ in it; null where they mostly agree. */
  differs: z.string().nullable(),
  /** What this clip shows of it: sentences with figures. */
  shows: z.array(z.string()),
  /** What this clip cannot show of it. */
  cannotShow: z.string(),
});
export type RuleView = z.infer<typeof ruleViewSchema>;
