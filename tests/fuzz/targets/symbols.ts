/** Characters of any kind: decode, describe, check, explain, and encode the same again. */
import {
  decodeCall,
  describeCall,
  encodeCall,
  explainFields,
  nameExpansion,
  readCall,
  toSentences,
  type Call,
} from '../../../src/calls/index.js';
import { errorCheck } from '../../../src/symbols/index.js';
import { SENDABLE } from '../good.js';
import { Material } from '../material.js';
import { hold, orRefused, same, type Target } from '../target.js';

const END_OF_PIECE = 255;

/** Lists of symbols out of bytes: pieces end at 255; bytes from 128 to 254 stand for themselves, which no symbol does. */
function listsOf(input: Uint8Array): number[][] {
  const lists: number[][] = [[]];
  for (const byte of input) {
    if (byte === END_OF_PIECE) lists.push([]);
    else lists[lists.length - 1].push(byte);
  }
  return lists;
}

/** With the right error check in place of the last symbol. */
function corrected(symbols: readonly number[]): number[] {
  const content = symbols.slice(0, -1);
  return [...content, errorCheck(content)];
}

function requireSameAgain(
  call: Call,
  symbols: readonly number[],
  expansions: readonly (readonly number[])[],
): void {
  same(encodeCall(call).symbols, symbols, 'the characters encoded again');
  same(encodeCall(call).expansions, expansions, 'the expansions encoded again');
  const copy = JSON.parse(JSON.stringify(call)) as Call;
  same(encodeCall(copy).symbols, symbols, 'the characters encoded again from JSON');
  hold(describeCall(call) !== '', () => 'a call without a description');
  orRefused(() => toSentences(call));
}

export const symbols: Target = {
  name: 'symbols',
  seeds: () =>
    SENDABLE.map((call) => {
      const pieces = [encodeCall(call).symbols, ...encodeCall(call).expansions];
      return Uint8Array.from([
        1,
        ...pieces.flatMap((piece, i) => (i === 0 ? piece : [END_OF_PIECE, ...piece])),
      ]);
    }),
  share: 2,
  maxBytes: 512,
  limitMs: (bytes) => 50 + bytes,
  limitMiB: 32,
  run(input) {
    const material = new Material(input);
    const isCorrected = material.byte() % 4 !== 0;
    const [first, ...others] = listsOf(material.take(material.left));
    const [main, ...expansions] = isCorrected ? [first, ...others].map(corrected) : [first, ...others];
    orRefused(() => explainFields(main));
    orRefused(() => expansions.map(nameExpansion));
    const reading = orRefused(() => readCall(main, { expansions }));
    const call = orRefused(() => decodeCall(main, { expansions }));
    if (!call) return;
    hold(reading !== undefined, () => 'readCall refuses what decodeCall takes');
    requireSameAgain(call, main, expansions);
    same(
      explainFields(main).flatMap((field) => field.symbols),
      main,
      'the characters explained',
    );
  },
};
