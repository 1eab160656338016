import { fileURLToPath } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import { build } from 'esbuild';
import { expect, it } from 'vitest';

const ROOMS = ['frequencies', 'navigation', 'records', 'simulation'];

/** Rooms as one script for a browser; fails when anything in them imports from Node. */
async function bundle(): Promise<string> {
  const { outputFiles } = await build({
    stdin: {
      contents: ROOMS.map((room) => `export * from './${room}/index.ts';`).join('\n'),
      resolveDir: fileURLToPath(new URL('../../src', import.meta.url)),
    },
    bundle: true,
    platform: 'browser',
    format: 'iife',
    globalName: 'stations',
    write: false,
  });
  return outputFiles[0].text;
}

it('runs where there is neither Node nor a page', async () => {
  const context = createContext({});
  runInContext(await bundle(), context);
  const result: unknown = runInContext(
    `
    const clock = () => 1e12;
    const book = stations.createAddressBook([{ name: '=Tern', identity: '299123456' }]);
    const log = stations.createMemoryLog({ clock });
    const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };
    log.add(stations.callEntry(call, { direction: 'sent' }));
    const own = stations.createOwnPosition({ clock });
    own.push('$GPGLL,4530.50,N,03015.25,W,120000,A*3C\\r\\n');
    JSON.stringify([
      stations.addressBookFromCsv(stations.addressBookToCsv(book)).resolve('=tern'),
      [...stations.logToCsv(log.list())].length,
      own.forCall().time,
      stations.followUp(stations.followUpRequest(call, 2187500)).means,
    ]);
    `,
    context,
  );
  expect(JSON.parse(result as string)).toEqual(['299123456', 2, '12:00', 'none']);
});
