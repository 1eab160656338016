/** Sentences with calls, $--DSC and $--DSE (IEC 61162-1, from memory). */
import { fromSentences, toSentences, type Address } from '../../../src/calls/index.js';
import { SENTENCES } from '../good.js';
import { Material } from '../material.js';
import { bytesOf, hold, orRefused, same, type Target } from '../target.js';

const ADDRESSEES: readonly (Address | undefined)[] = [
  undefined,
  { station: '299000001' },
  { group: '029900001' },
  { area: { latitude: 50, longitude: -20, south: 10, east: 10 } },
  'allShips',
];

/** With the checksum that belongs to it: most changes would otherwise end there. */
export function withChecksum(line: string): string {
  const body = line.replace(/^\$/, '').replace(/\*[0-9A-F]{0,2}\s*$/i, '');
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${(sum & 255).toString(16).toUpperCase().padStart(2, '0')}`;
}

export const sentences: Target = {
  name: 'sentences',
  seeds: () =>
    SENTENCES.flatMap((lines) =>
      ADDRESSEES.slice(0, 4).map((_, i) =>
        Uint8Array.from([1, i, ...bytesOf(lines.map((line) => line.replace(/^\$|\*..$/g, '')).join('\n'))]),
      ),
    ),
  words: ['CDDSC', 'CDDSE', ',', '\n', ',A,', ',E', ',R,', '00', '12', '20', '16', '2990000010'],
  maxBytes: 600,
  limitMs: (bytes) => 50 + bytes,
  limitMiB: 32,
  run(input) {
    const material = new Material(input);
    const isRepaired = material.byte() % 4 !== 0;
    const to = material.pick(ADDRESSEES);
    const given = material.text().split('\n');
    const lines = isRepaired ? given.map(withChecksum) : given;
    const call = orRefused(() => fromSentences(lines, to === undefined ? {} : { to }));
    if (!call) return;
    const again = orRefused(() => toSentences(call));
    // A sentence has room for six digits of a frequency, so for no tens of hertz.
    const hasTensOfHertz = /"hz":\d*(?:[1-9]0[,}]|\d+,"resolutionHz")/.test(JSON.stringify(call));
    hold(
      again !== undefined || call.kind === 'unassignedCall' || hasTensOfHertz,
      () => 'a call out of sentences does not go into sentences',
    );
    if (again)
      same(fromSentences(again, { to: 'to' in call ? call.to : 'allShips' }), call, 'the call read again');
  },
};
