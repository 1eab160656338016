/** Calls in JSON: encode, check, describe, say in sentences, and read again. */
import {
  checkCall,
  decodeCall,
  describeCall,
  encodeCall,
  explainFields,
  toSentences,
  type Call,
} from '../../../src/calls/index.js';
import { parseCallJson } from '../../../src/cli/calljson.js';
import { frameCall } from '../../../src/frames/index.js';
import { SENDABLE } from '../good.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { hold, orRefused, same, type Target } from '../target.js';

export const calls: Target = {
  name: 'calls',
  seeds: () => jsonSeeds(SENDABLE),
  share: 2,
  maxBytes: 4096,
  limitMs: (bytes) => 1000 + bytes / 4,
  limitMiB: 32,
  run(input) {
    const data = hostileJson(input, SENDABLE);
    const call = data as Call;
    const problems = orRefused(() => checkCall(call));
    hold(problems !== undefined, () => 'checkCall refuses instead of reporting');
    orRefused(() => describeCall(call));
    orRefused(() => toSentences(call));
    const text = JSON.stringify(data) as string | undefined;
    if (text !== undefined) orRefused(() => parseCallJson(text, 'call.json'));
    const sent = orRefused(() => ({
      symbols: encodeCall(call).symbols,
      expansions: encodeCall(call).expansions,
    }));
    if (!sent) {
      hold(
        problems?.some(({ level }) => level === 'error') ?? false,
        () => 'checkCall finds no error in a call that cannot be encoded',
      );
      return;
    }
    const { symbols, expansions } = sent;
    for (const symbol of [...symbols, ...expansions.flat()]) {
      hold(Number.isInteger(symbol) && symbol >= 0 && symbol <= 127, () => `the symbol ${symbol} is sent`);
    }
    const read = decodeCall(symbols, { expansions });
    same(encodeCall(read).symbols, symbols, 'the characters of the call that was read');
    same(encodeCall(read).expansions, expansions, 'the expansions of the call that was read');
    hold(describeCall(read) !== '', () => 'a call without a description');
    same(
      explainFields(symbols).flatMap((field) => field.symbols),
      symbols,
      'the characters explained',
    );
    orRefused(() => frameCall({ symbols: symbols, expansions: expansions }));
  },
};
