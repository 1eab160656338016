/** Hostile JSON: text as it comes, or good data with some of its values replaced, moved, repeated or removed. */
import { Material } from './material.js';

const VALUES: readonly unknown[] = [
  null,
  true,
  false,
  0,
  -0,
  1,
  -1,
  0.5,
  90,
  180,
  90.0001,
  1e9,
  -1e9,
  1e21,
  1e308,
  -1e308,
  5e-324,
  2 ** 31,
  2 ** 53,
  '',
  ' ',
  '0',
  '-1',
  'NaN',
  'none',
  'unknown',
  'allShips',
  '299000001',
  '002990001',
  '02990001',
  '000000000',
  '999999999',
  '١٢٣٤٥٦٧٨٩',
  '12:34',
  '24:00',
  '88:88',
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '=1+1',
  '@x',
  '\u0000',
  '\ud800',
  '\u202e',
  '../../x',
  '/dev/zero',
  'C:\\x',
  'a'.repeat(300),
  '9'.repeat(5000),
  [],
  {},
  [[]],
  [null],
  [0],
  ['', ''],
  { kind: 'testCall' },
  { __proto__x: 1 },
  { symbols: [127, 127] },
  { symbols: [300] },
  { hz: 1e99 },
  { vhfChannel: -1 },
  { station: '299000001' },
  { latitude: 91, longitude: 181 },
  { receive: 'none', transmit: 'none' },
  { position: 'none', time: 'none' },
  Array.from({ length: 300 }, () => 0),
];

const MOST_CHANGES = 12;

type Holder = Record<string | number, unknown>;

/** Every place in the data that holds a value. */
function places(
  data: unknown,
  found: [Holder, string | number][] = [],
  depth = 0,
): [Holder, string | number][] {
  if (typeof data !== 'object' || data === null || depth > 12) return found;
  for (const key of Object.keys(data)) {
    found.push([data as Holder, Array.isArray(data) ? Number(key) : key]);
    places((data as Holder)[key], found, depth + 1);
    if (found.length > 2000) break;
  }
  return found;
}

function number(material: Material): number {
  const value = material.word() - 32768;
  return material.pick([value, value / 100, value * 1000, value / 1e6, value * 1e12]);
}

function change(root: { data: unknown }, material: Material): void {
  const all = places(root);
  const [holder, key] = material.pick(all);
  const [other, otherKey] = material.pick(all);
  switch (material.byte() % 8) {
    case 0:
    case 1:
      holder[key] = structuredClone(material.pick(VALUES));
      return;
    case 2:
      holder[key] = number(material);
      return;
    case 3:
      holder[key] = structuredClone(other[otherKey]);
      return;
    case 4:
      if (Array.isArray(holder)) holder.splice(Number(key), 1);
      else if (holder !== root) Reflect.deleteProperty(holder, key);
      return;
    case 5:
      if (Array.isArray(holder))
        holder.push(...Array.from<unknown>({ length: material.byte() }).fill(holder[key]));
      else if (holder !== root) holder[String(otherKey)] = structuredClone(other[otherKey]);
      return;
    case 6:
      if (typeof holder[key] === 'string') {
        const text = holder[key];
        const at = material.byte() % (text.length + 1);
        const piece = new TextDecoder().decode(material.take(1 + (material.byte() % 4)));
        holder[key] = text.slice(0, at) + piece + text.slice(at + (material.byte() % 3));
      } else if (typeof holder[key] === 'number') holder[key] += material.byte() - 128;
      return;
    default: {
      const depth = material.word() % 3000;
      let deep: unknown = holder[key];
      for (let i = 0; i < depth; i++) deep = [deep];
      holder[key] = depth % 7 === 0 ? deep : material.pick(VALUES);
    }
  }
}

const MOST_VALUES = 5000;
const DEEPEST = 2000;

/** Whether data is small enough to be worth it: shared parts, repeated, could grow beyond any bound. */
function isBounded(data: unknown): boolean {
  let left = MOST_VALUES;
  const count = (value: unknown, depth: number): boolean => {
    if (--left < 0 || depth > DEEPEST) return false;
    return (
      typeof value !== 'object' ||
      value === null ||
      Object.values(value).every((each) => count(each, depth + 1))
    );
  };
  return count(data, 0);
}

/** The first byte of inputs that hold JSON text as it comes; others are a choice of good data and changes to it. */
const AS_IT_COMES = 0x7b;

/**
 * Data out of an input; undefined where it is no JSON.
 *
 * @param good - data that is right, to be changed
 */
export function hostileJson(input: Uint8Array, good: readonly unknown[]): unknown {
  const material = new Material(input);
  if (input[0] === AS_IT_COMES) {
    try {
      return JSON.parse(material.text());
    } catch {
      return undefined;
    }
  }
  const root = { data: structuredClone(material.pick(good)) };
  for (let i = 0; i < MOST_CHANGES && material.left > 0; i++) {
    change(root, material);
    if (!isBounded(root.data)) return undefined;
  }
  return root.data;
}

/** Inputs that give each of the good data unchanged, and as text. */
export function jsonSeeds(good: readonly unknown[]): Uint8Array[] {
  const chosen = good.map((_, i) =>
    good.length > 256 ? Uint8Array.of(i >> 8, i & 255) : Uint8Array.of(i % AS_IT_COMES),
  );
  const texts = good.slice(0, 40).map((data) => new TextEncoder().encode(JSON.stringify(data)));
  return [...chosen, ...texts];
}
