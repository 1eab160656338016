/**
 * Any value of every field of every kind of call, for property tests. The values are those that decoding gives, so
 * that a call comes back as it went.
 */
import fc from '../property.js';
import type { Call, Expansion } from '../../src/calls/index.js';
import {
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../../src/symbols/index.js';

const symbol = fc.integer({ min: 0, max: 127 });

/** A list of symbols of any length or of the one given. */
export const symbols = (length?: number): fc.Arbitrary<number[]> =>
  fc.array(symbol, length === undefined ? {} : { minLength: length, maxLength: length });

function words<Name extends string>(vocabulary: Vocabulary<Name>, exclude: readonly string[] = []) {
  const names = vocabulary.words.map((word) => word.name).filter((name) => !exclude.includes(name));
  const unassigned = Array.from({ length: 128 }, (_, i) => i).filter((i) => !vocabulary.bySymbol(i));
  return fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...names) },
    { weight: 1, arbitrary: fc.constantFrom(...unassigned).map((i) => ({ unassigned: [i] })) },
  );
}

const digits = (length: number) =>
  fc.array(fc.integer({ min: 0, max: 9 }), { minLength: length, maxLength: length }).map((d) => d.join(''));

const identity = digits(9);

const SIDES = [
  ['NE', 1, 1],
  ['NW', 1, -1],
  ['SE', -1, 1],
  ['SW', -1, -1],
] as const;

/** Steps are counted from zero in both directions; a side that a zero hides is named. */
function point(latitude: number, longitude: number, side: (typeof SIDES)[number]) {
  const [quadrant, north, east] = side;
  const hidden = (north < 0 && latitude === 0) || (east < 0 && longitude === 0);
  return {
    latitude: latitude === 0 ? 0 : north * latitude,
    longitude: longitude === 0 ? 0 : east * longitude,
    ...(hidden && { quadrant }),
  };
}

const often = (max: number) =>
  fc.oneof({ weight: 4, arbitrary: fc.integer({ min: 0, max }) }, fc.constantFrom(0, max));

const position = fc
  .tuple(often(90 * 60), often(180 * 60), fc.constantFrom(...SIDES))
  .map(([latitude, longitude, side]) => point(latitude / 60, longitude / 60, side));

export const finePosition = fc
  .tuple(often(90 * 600_000), often(180 * 600_000), fc.constantFrom(...SIDES))
  .map(([latitude, longitude, side]) => point(latitude / 600_000, longitude / 600_000, side));

const area = fc
  .tuple(often(90), often(180), fc.constantFrom(...SIDES), often(99), often(99))
  .map(([latitude, longitude, side, south, east]) => ({ ...point(latitude, longitude, side), south, east }));

const time = fc.oneof(
  fc
    .tuple(often(23), often(59))
    .map(([hours, minutes]) => `${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`),
  fc.constant('none' as const),
);

const channel = fc.oneof(
  fc.constant('none' as const),
  often(299_999).map((hundreds) => ({ hz: hundreds * 100 })),
  often(9_999_999).map((tens) => {
    const hz = tens * 10;
    return tens % 10 === 0 && hz <= 29_999_900 ? { hz, resolutionHz: 10 as const } : { hz };
  }),
  often(99_999).map((number) => ({ channel: number })),
  fc
    .tuple(often(999), fc.constantFrom(undefined, 'ship' as const, 'coast' as const))
    .map(([number, side]) => ({
      vhfChannel: number,
      ...(side && { simplex: side }),
    })),
  // 91 to 99 and 50 to 89 begin nothing that is assigned; 55 would begin a position.
  fc
    .tuple(fc.constantFrom(50, 54, 56, 89, 91, 99, 100, 125, 127), symbol, symbol)
    .map((unassigned) => ({ unassigned })),
);

const positionValue = fc.oneof(
  { weight: 4, arbitrary: position },
  { weight: 1, arbitrary: fc.constant('none' as const) },
  // A fifth quadrant, a sixtieth minute, and a service command.
  fc.constantFrom([40, 0, 0, 0, 0], [10, 6, 0, 0, 0], [126, 126, 126, 126, 126]).map((unassigned) => ({
    unassigned,
  })),
);

const timeValue = fc.oneof(
  { weight: 4, arbitrary: time },
  fc.constantFrom([24, 0], [0, 60], [126, 126]).map((unassigned) => ({ unassigned })),
);

const message = fc.oneof(
  fc.record({ receive: channel, transmit: channel }),
  fc.record({ position: positionValue, time: timeValue }),
  fc.record({ position: positionValue }),
);

const address = {
  allShips: fc.constant('allShips' as const),
  area: fc.record({ area }),
  group: fc.record({ group: identity }),
  station: fc.record({ station: identity }),
};
const self = fc.oneof(
  { weight: 9, arbitrary: identity },
  { weight: 1, arbitrary: fc.constant({ unassigned: [29, 91, 23, 45, 67] }) },
);
const casualty = fc.oneof({ weight: 4, arbitrary: identity }, fc.constant('unknown' as const));
const distress = {
  nature: words(NATURES),
  position: positionValue,
  time: timeValue,
  followOn: words(FOLLOW_ONS),
};
const fixed = { to: address.station, self };
/** Not a telecommand that would make another kind of call with the rest of the values. */
const telecommands = {
  telecommand1: words(FIRST_TELECOMMANDS, ['test', 'position', 'polling']),
  telecommand2: words(SECOND_TELECOMMANDS),
};
const communication = { self, ...telecommands, message };
const toAny = fc.oneof(address.allShips, address.area, address.group, address.station);
const automatic = {
  to: address.station,
  ...communication,
  telephone: fc.oneof(
    fc.constant('none' as const),
    fc.integer({ min: 1, max: 18 }).chain((length) => digits(length)),
  ),
};

const kind = <Kind extends string, Values>(
  name: Kind,
  values: { [Key in keyof Values]: fc.Arbitrary<Values[Key]> },
) => fc.record<{ kind: Kind } & Values>({ kind: fc.constant(name), ...values } as never);

/** An arbitrary for every kind of call. */
export const CALLS: { [Kind in Call['kind']]: fc.Arbitrary<Call & { kind: Kind }> } = {
  distressAlert: kind('distressAlert', { self, ...distress }),
  distressAcknowledgement: fc
    .record({ kind: fc.constant('distressAcknowledgement' as const), self, casualty, ...distress })
    .filter((call) => JSON.stringify(call.self) !== JSON.stringify(call.casualty)),
  ownAlertCancellation: kind('ownAlertCancellation', { self, ...distress }),
  distressRelay: kind('distressRelay', { to: toAny, self, casualty, ...distress }),
  relayAcknowledgement: kind('relayAcknowledgement', {
    to: fc.oneof(address.allShips, address.station),
    self,
    casualty,
    ...distress,
  }),
  urgencyCall: kind('urgencyCall', { to: toAny, ...communication }),
  urgencyAcknowledgement: kind('urgencyAcknowledgement', { to: address.station, ...communication }),
  safetyCall: kind('safetyCall', { to: toAny, ...communication }),
  safetyAcknowledgement: kind('safetyAcknowledgement', { to: address.station, ...communication }),
  routineCall: kind('routineCall', { to: fc.oneof(address.group, address.station), ...communication }),
  routineAcknowledgement: kind('routineAcknowledgement', { to: address.station, ...communication }),
  testCall: kind('testCall', fixed),
  testAcknowledgement: kind('testAcknowledgement', fixed),
  positionRequest: kind('positionRequest', fixed),
  positionReport: kind('positionReport', { ...fixed, position: positionValue, time: timeValue }),
  pollingRequest: kind('pollingRequest', fixed),
  pollingReply: kind('pollingReply', fixed),
  automaticCall: kind('automaticCall', automatic),
  automaticAcknowledgement: kind('automaticAcknowledgement', automatic),
  irregularCall: kind('irregularCall', {
    to: fc.oneof(address.allShips, address.area),
    category: fc.constant('routine' as const),
    ...communication,
    self: identity,
  }),
  irregularAutomaticCall: kind('irregularAutomaticCall', {
    ...automatic,
    category: fc.constantFrom('safety' as const, 'urgency' as const, 'distress' as const),
    self: identity,
  }),
  irregularDistressCall: kind('irregularDistressCall', {
    to: toAny,
    ...distress,
    self: identity,
    telecommand1: words(FIRST_TELECOMMANDS, ['distressRelay', 'distressAcknowledgement']),
    casualty,
  }),
  unassignedCall: symbols()
    .filter((list) => list.length >= 1)
    .map((list) => ({ kind: 'unassignedCall' as const, symbols: [121, ...list] })),
} as { [Kind in Call['kind']]: fc.Arbitrary<Call & { kind: Kind }> };

export const anyCall: fc.Arbitrary<Call> = fc.oneof(...Object.values<fc.Arbitrary<Call>>(CALLS));

const tenths = (max: number) => often(max).map((steps) => steps / 10);
const hundredths = often(5999).map((steps) => steps / 100);
const letter = fc.constantFrom(...Array.from('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ.,-/ '));
const noData = fc.constantFrom('requested' as const, 'none' as const);
/** Data of a length that no expansion but the text has. */
const oddData = fc.constantFrom([], [1], [1, 2, 3, 4, 5]).map((unassigned) => ({ unassigned }));

const valued = (name: string, value: fc.Arbitrary<unknown>) =>
  fc.record({ kind: fc.constant(name), value: fc.oneof({ weight: 3, arbitrary: value }, noData, oddData) });

/** Any expansion whose data stand in it. */
const anyExpansion = fc.oneof(
  valued('finePosition', fc.record({ latitude: often(9999), longitude: often(9999) })),
  valued(
    'positionSource',
    fc.record({
      source: fc.constantFrom(
        'invalid',
        'differentialGps',
        'gps',
        'differentialLoranC',
        'loranC',
        'glonass',
        'radar',
        'decca',
        'other',
      ),
      resolutionMinutes: tenths(99),
      datum: fc.constantFrom('wgs84', 'wgs72', 'other'),
    }),
  ),
  valued('speed', tenths(9999)),
  valued('course', tenths(3599)),
  fc.record({
    kind: fc.constant('furtherIdentification'),
    value: fc.oneof(
      fc.array(letter, { minLength: 1, maxLength: 20 }).map((letters) => letters.join('')),
      noData,
      fc.constantFrom([], [10], [42, 99]).map((unassigned) => ({ unassigned })),
    ),
  }),
  valued(
    'refinedArea',
    fc.record({
      latitudeMinutes: hundredths,
      longitudeMinutes: hundredths,
      southMinutes: hundredths,
      eastMinutes: hundredths,
      speed: tenths(9999),
      course: tenths(3599),
    }),
  ),
  valued('personsOnBoard', often(9999)),
  fc
    .tuple(
      fc.constantFrom(107, 109, 111, 116, 123),
      fc.array(fc.integer({ min: 0, max: 99 }), { maxLength: 9 }),
    )
    .map(([specifier, data]) => ({ kind: 'unassignedExpansion', symbols: [specifier, ...data] })),
);

/** One to four expansions, some sharing an end of sequence with the one before. */
export const expansions: fc.Arbitrary<Expansion[]> = fc
  .array(fc.tuple(anyExpansion, fc.boolean()), { minLength: 1, maxLength: 4 })
  .map((list) =>
    list.map(
      ([expansion, joined], i) => ({ ...expansion, ...(joined && i > 0 && { joined: true }) }) as Expansion,
    ),
  );
