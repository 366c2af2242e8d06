import type { Page } from 'playwright-core';

/** Pages that are being looked at. */
export const openPages = new Set<Page>();
