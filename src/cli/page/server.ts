/**
 * A page that shows what a log holds and what a watch hears, served to this machine.
 */
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import type { FastifyReply } from 'fastify';
import { DotphaseError, reasonOf } from '../../errors.js';
import type { HeardStore } from '../../records/sqlite/index.js';
import type { WatchEvent } from '../../watch/index.js';
import type { Profile } from '../profile/profile.js';
import { createAnswers, shownEntry } from './answers.js';
import type { PagePlace } from './flags.js';
import { guard } from './guard.js';
import { createMetrics } from './metrics.js';

/** A page that is being served. */
export interface Page {
  /** Where, for a person to open; with the token where one is asked for. */
  readonly url: string;
  /** Passes on what a watch tells. */
  tell(event: WatchEvent): void;
  close(): Promise<void>;
}

/** Pages that listen at a time. */
const MOST_LISTENERS = 100;

/** Without a word for so long, a connection is kept open by an empty one, milliseconds. */
const KEEP_OPEN_MS = 15_000;

/** A log that others write is looked at so often, milliseconds. */
const LOOK_MS = 1000;

/** What came in the meantime, at most, of a log that others write. */
const MOST_NEW = 500;

async function load() {
  try {
    const [{ default: fastify }, { default: files }] = await Promise.all([
      import('fastify'),
      import('@fastify/static'),
    ]);
    return { fastify, files, metrics: await createMetrics() };
  } catch (error) {
    throw new DotphaseError(
      '--page',
      `a page, and no packages that serve it (${error instanceof Error ? error.message.split('\n')[0] : String(error)})`,
      'them beside dotphase: npm install fastify@5 @fastify/static@8 prom-client@15',
    );
  }
}

/** Those who listen to what is heard, by server-sent events. */
class Listeners {
  readonly #replies = new Set<FastifyReply>();
  readonly #keeping = setInterval(() => {
    this.#write(':\n\n');
  }, KEEP_OPEN_MS);

  add(reply: FastifyReply): void {
    if (this.#replies.size >= MOST_LISTENERS) {
      void reply.code(503).send('Too many pages listen.');
      return;
    }
    const headers = { ...reply.getHeaders(), 'content-type': 'text/event-stream', connection: 'keep-alive' };
    reply.hijack();
    reply.raw.writeHead(200, headers as Record<string, string>);
    reply.raw.write(':\n\n');
    this.#replies.add(reply);
    reply.raw.on('close', () => this.#replies.delete(reply));
  }

  send(event: string, data: unknown): void {
    this.#write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  }

  close(): void {
    clearInterval(this.#keeping);
    for (const { raw } of this.#replies) raw.end();
  }

  #write(text: string): void {
    for (const { raw } of this.#replies) raw.write(text);
  }
}

/**
 * Serves the page.
 *
 * @param isLive - whether a watch tells what it hears; otherwise the log is looked at for what others write
 * @throws DotphaseError where the packages are missing, or the port is taken
 */
export async function servePage(
  store: HeardStore,
  place: PagePlace,
  profile: Profile,
  isLive: boolean,
): Promise<Page> {
  const { fastify, files, metrics } = await load();
  const server = fastify({ forceCloseConnections: true, bodyLimit: 1024 });
  const answers = createAnswers(store, profile);
  const listeners = new Listeners();
  /** Since when another program has held the log, as a watch tells. */
  let heldSince: number | undefined;
  guard(server, place);
  server.setErrorHandler((error, _request, reply) => {
    const isAsked = error instanceof DotphaseError;
    return reply
      .code(isAsked ? 400 : 500)
      .send({ error: isAsked ? error.message : 'The log could not be read.' });
  });
  server.get('/data/calls', ({ query }) => answers.calls(query as Record<string, unknown>));
  server.get<{ Params: { id: string } }>('/data/calls/:id', ({ params }, reply) => {
    const call = answers.call(Number(params.id));
    return call ?? reply.code(404).send({ error: 'There is no such call.' });
  });
  server.get<{ Params: { id: string } }>('/data/calls/:id/sound', async ({ params }, reply) => {
    const wav = await answers.sound(Number(params.id));
    if (!wav) return reply.code(404).send({ error: 'Its sound is not kept.' });
    return reply.type('audio/wav').send(Buffer.from(wav));
  });
  server.get('/data/summary', () => ({ ...answers.summary(), heldSince }));
  server.get('/data/stream', (_request, reply) => {
    listeners.add(reply);
  });
  server.get('/metrics', async (_request, reply) =>
    reply.type(metrics.contentType).send(await metrics.text()),
  );
  await server.register(files, {
    root: fileURLToPath(new URL('../../page/', import.meta.url)),
    cacheControl: false,
  });

  let latest = store.latestId();
  const looking = isLive
    ? undefined
    : setInterval(() => {
        const now = store.latestId();
        for (let id = Math.max(latest, now - MOST_NEW) + 1; id <= now; id++) {
          const entry = store.calls.get(id);
          if (entry?.direction === 'received')
            listeners.send('call', shownEntry(entry, profile, store.calls));
        }
        latest = now;
      }, LOOK_MS);
  const { port, address, token } = place;
  try {
    await server.listen({ port, host: address });
  } catch (error) {
    throw new DotphaseError(
      '--page-port',
      `${address}, port ${port}`,
      `one that is free: ${reasonOf(error)}`,
    );
  }
  const bound = server.server.address() as AddressInfo;
  const host = bound.address.includes(':') ? `[${bound.address}]` : bound.address;
  return {
    url: `http://${host}:${bound.port}/${token === undefined ? '' : `?token=${token}`}`,
    tell(event) {
      metrics.tell(event);
      if (event.type === 'call') listeners.send('call', shownEntry(event.entry, profile, store.calls));
      else if (event.type === 'input') listeners.send('input', event.event);
      else if (event.type === 'level')
        listeners.send('level', { input: event.input, time: event.time, ...event.level });
      else {
        heldSince = event.until === undefined ? event.since : undefined;
        listeners.send('held', { since: event.since, until: event.until });
      }
    },
    async close() {
      clearInterval(looking);
      listeners.close();
      await server.close();
    },
  };
}
