import type { FastifyInstance } from 'fastify';

/**
 * Calls `onIdle` once nobody has asked for anything for `afterMs`, no answer is under way, and nothing else is busy. An
 * open page holds its line for events open, and so never lets the server idle.
 */
export function whenIdle(
  server: FastifyInstance,
  options: { afterMs: number; isBusy: () => boolean; onIdle: () => void },
): void {
  const { afterMs, isBusy, onIdle } = options;
  let open = 0;
  const timer = setTimeout(() => {
    if (open > 0 || isBusy()) timer.refresh();
    else onIdle();
  }, afterMs);
  timer.unref();
  server.addHook('onRequest', (_request, reply, done) => {
    open += 1;
    reply.raw.once('close', () => {
      open -= 1;
      timer.refresh();
    });
    done();
  });
  server.addHook('onClose', (_server, done) => {
    clearTimeout(timer);
    done();
  });
}
