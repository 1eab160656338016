import { describe, expect, it } from 'vitest';
import { callLayouts, decodeCall, type CallLayout } from '../../src/calls/index.js';
import { CASES, numbers } from '../vectors/cases.js';

const layouts = callLayouts();
const allows = ({ positions }: CallLayout, content: readonly number[]) =>
  positions.length === content.length && positions.every((set, i) => set[content[i]] === 1);
const allowed = (set: Uint8Array) =>
  Array.from(set, (is, symbol) => (is ? symbol : -1)).filter((s) => s >= 0);

describe('layouts', () => {
  const regular = CASES.filter((row) => !/unassigned|irregular|surplus/.test(row.name));
  it.each(regular)('allow $name as its kind', ({ call, characters }) => {
    const content = numbers(characters).slice(0, -1);
    const kinds = layouts.filter((layout) => allows(layout, content)).map((layout) => layout.kind);
    expect(kinds).toContain(call.kind);
  });

  it.each(CASES.filter((row) => /unassigned|irregular|surplus/.test(row.name)))(
    'allow $name as no kind',
    ({ characters }) => {
      const content = numbers(characters).slice(0, -1);
      expect(layouts.filter((layout) => allows(layout, content))).toEqual([]);
    },
  );

  it('have a set of the 128 symbols in every place, never empty', () => {
    const isWrong = (set: Uint8Array) => set.length !== 128 || !set.includes(1);
    expect(layouts.length).toBeGreaterThan(0);
    expect(layouts.filter(({ positions }) => positions.length === 0 || positions.some(isWrong))).toEqual([]);
  });

  // A distress alert by hand (M.493 Table A1-4.1, from memory): 112, five digit pairs the last of which ends in 0, a nature, a
  // position or 99 five times, a time or 88 88, a follow-on, an end of sequence.
  it('of the distress alert are those written out by hand', () => {
    const alerts = layouts.filter(({ kind }) => kind === 'distressAlert');
    expect(alerts).toHaveLength(4);
    const range = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => from + i);
    const pairs = range(0, 99);
    const [full] = alerts.map(({ positions }) => positions.map(allowed));
    expect(full).toEqual([
      [112],
      ...[pairs, pairs, pairs, pairs, pairs.filter((pair) => pair % 10 === 0)],
      [...range(100, 110), 112],
      // Quadrant 0 to 3 and a digit of latitude; a digit and the tens of minutes; a digit and the hundreds of longitude; its
      // tens and ones; minutes.
      range(0, 39),
      pairs.filter((pair) => pair % 10 <= 5),
      pairs.filter((pair) => pair % 10 <= 1),
      pairs,
      range(0, 59),
      range(0, 23),
      range(0, 59),
      [100, 109, 113, 115, 126],
      [117, 122, 127],
    ]);
    const none = alerts.map(({ positions }) => positions.map(allowed).slice(7, 14));
    expect(none).toContainEqual([[99], [99], [99], [99], [99], [88], [88]]);
  });

  it('of a kind that its end of sequence decides allow no other', () => {
    const ends = (wanted: string) => {
      const found = layouts.filter(({ kind }) => kind === wanted).map(({ positions }) => positions.at(-1));
      return [...new Set(found.flatMap((set) => allowed(set ?? new Uint8Array())))];
    };
    expect(ends('testCall')).toEqual([117]);
    expect(ends('testAcknowledgement')).toEqual([122]);
    expect(ends('relayAcknowledgement')).toEqual([122]);
    expect(ends('automaticAcknowledgement')).toEqual([122]);
    expect(ends('distressAlert')).toEqual([117, 122, 127]);
  });

  it('make calls that read as their kind', () => {
    // The lowest and the highest symbol of every place: digits of the ends of their ranges, which for positions lie beyond
    // the pole, so that only the kind is asked for.
    const overlaps = new Set<string>();
    for (const { kind, positions } of layouts) {
      for (const pick of [0, -1]) {
        const content = positions.map((set) => allowed(set).at(pick) ?? 0);
        const call = decodeCall([...content, content.reduce((sum, symbol) => sum ^ symbol, 0)]);
        if (call.kind !== kind) overlaps.add(`${kind} as ${call.kind}`);
      }
    }
    // An acknowledgement of oneself is a cancellation.
    expect([...overlaps]).toEqual(['distressAcknowledgement as ownAlertCancellation']);
  });
});
