import { randomBytes, timingSafeEqual } from 'node:crypto';
import { policyOf } from '../desk/page-policy.ts';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';

export const cookieName = 'lockstep';
const hosts = ['127.0.0.1', 'localhost'];

const same = (a: string, b: string): boolean => {
  const [x, y] = [Buffer.from(a), Buffer.from(b)];
  return x.length === y.length && timingSafeEqual(x, y);
};

/**
 * Lets in only this machine's own page: the Host must be loopback (a name that was rebound to it is refused), an Origin
 * must be our own, and every request but the first carries the cookie that the address with the token was traded for.
 */
export function guard(server: FastifyInstance, token: string, portOf: () => number): void {
  // The address may stay in a terminal or a history: what it holds is never the cookie itself.
  const session = randomBytes(24).toString('base64url');
  server.addHook('onRequest', async (request: FastifyRequest, reply: FastifyReply) => {
    void reply.headers({
      'content-security-policy': policyOf(request.url.split('?')[0]),
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=()',
      'x-frame-options': 'DENY',
      'cache-control': 'no-store',
    });
    const own = hosts.map((host) => `${host}:${portOf()}`);
    if (!own.includes(request.headers.host ?? '')) return refuse(reply);
    const { origin } = request.headers;
    if (origin !== undefined && !own.some((host) => origin === `http://${host}`)) return refuse(reply);
    const site = request.headers['sec-fetch-site'];
    const { token: given } = request.query as { token?: unknown };
    if (
      request.method === 'GET' &&
      request.url.startsWith('/?') &&
      typeof given === 'string' &&
      same(given, token)
    ) {
      return (
        reply
          .setCookie(cookieName, session, { httpOnly: true, sameSite: 'strict', path: '/' })
          .header('content-type', 'text/html; charset=utf-8')
          // A redirect would still count as coming from elsewhere, and the strict cookie would stay at home.
          .send('<!doctype html><meta http-equiv="refresh" content="0; url=/"><title>Lockstep</title>')
      );
    }
    // Another port of this machine is the same site, and gets the cookie too: only our own page may use it.
    if (site !== undefined && site !== 'same-origin' && site !== 'none') return refuse(reply);
    if (!same(request.cookies[cookieName] ?? '', session)) return refuse(reply);
  });
}

async function refuse(reply: FastifyReply): Promise<void> {
  await reply
    .code(403)
    .type('text/plain; charset=utf-8')
    .send('Open Lockstep by the address it printed when it started.');
}
