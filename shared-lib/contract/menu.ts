import { z } from 'zod';

/** One thing that can be done, as a menu shows it; `key` as `KeyboardEvent.key` says it, with Ctrl+, Alt+ and Shift+ before. */
export const menuItemSchema = z.object({
  label: z.string().min(1).max(80),
  key: z.string().max(40).nullable(),
  enabled: z.boolean(),
  /** One of several of which one holds: whether this is it; null for what is done rather than chosen. */
  chosen: z.boolean().nullable(),
});
export type MenuItem = z.infer<typeof menuItemSchema>;

/** Everything that can be done where the user is: the menu in the page and the window's own show the same list. */
export const menuSchema = z
  .array(z.object({ name: z.string().min(1).max(40), items: z.array(menuItemSchema).max(60) }))
  .max(8);
export type MenuList = z.infer<typeof menuSchema>;
