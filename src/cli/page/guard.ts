/**
 * Who may see the page, and what it may do.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { PagePlace } from './flags.js';

const COOKIE = 'page';

/** Nothing but what comes from here; no frames, no forms, no code out of text. */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "media-src 'self'",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const HEADERS = {
  'content-security-policy': POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cache-control': 'no-store',
} as const;

const digest = (text: string) => createHash('sha256').update(text).digest();
const isSame = (a: string, b: string) => timingSafeEqual(digest(a), digest(b));

/** What a request knows: in a header, in a cookie, or in the address by which the page is opened first. */
function knownBy({ headers, query }: FastifyRequest): { token: string | undefined; isInAddress: boolean } {
  const bearer = /^Bearer (\S+)$/.exec(headers.authorization ?? '')?.[1];
  const cookie = new RegExp(`(?:^|;\\s*)${COOKIE}=([\\w.~-]+)`).exec(headers.cookie ?? '')?.[1];
  const { token } = query as { token?: unknown };
  const typed = typeof token === 'string' ? token : undefined;
  return { token: bearer ?? typed ?? cookie, isInAddress: bearer === undefined && typed !== undefined };
}

/** A name in another's hands may point to this machine: only its own names are answered where no token is asked. */
function isOwnHost(host: string): boolean {
  return /^(?:localhost|127(?:\.\d{1,3}){3}|\[::1\])(?::\d+)?$/i.test(host);
}

/** Guards every answer of a server. */
export function guard(server: FastifyInstance, { token }: PagePlace): void {
  server.addHook('onRequest', async (request: FastifyRequest, reply: FastifyReply) => {
    void reply.headers(HEADERS);
    if (token === undefined) {
      if (!isOwnHost(request.headers.host ?? '')) return reply.code(421).send('Ask for 127.0.0.1.');
      return undefined;
    }
    const known = knownBy(request);
    if (known.token === undefined || !isSame(known.token, token))
      return reply.code(401).header('www-authenticate', 'Bearer').send('A token is asked for.');
    if (!known.isInAddress) return undefined;
    // So that the token stands in no address any more.
    const path = request.url.replace(/\?.*$/s, '');
    return reply
      .header('set-cookie', `${COOKIE}=${token}; HttpOnly; SameSite=Strict; Path=/`)
      .redirect(path, 303);
  });
}
