/** What a page of ours may do, in every shell: nothing from elsewhere, no frame round it, no script but our own file. */
export const pagePolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "media-src 'self' blob:",
  "connect-src 'self'",
  "font-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** The pose worker's own: it alone may compile WebAssembly, and it may do nothing but read its files. */
export const posePolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "connect-src 'self'",
  "frame-ancestors 'none'",
].join('; ');

/** The policy of what lies at a path: a worker goes by the policy of its own file, whoever starts it. */
export const policyOf = (pathname: string): string =>
  pathname === '/pose/worker.js' ? posePolicy : pagePolicy;
