import { describe, expect, it } from 'vitest';
import { encodeCall, type DistressAlert } from '../../src/calls/index.js';
import { frameCall, readSequence } from '../../src/frames/index.js';
import { describeReceived, receiveCalls } from '../../src/receiver/index.js';
import { transmit } from '../scenes/transmission.js';

const sampleRate = 8000;
const options = { sampleRate, bands: ['mf-hf'], centreHz: 1700 } as const;
const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
const symbols = encodeCall(ALERT).symbols;

/** Every expansion of ITU-R M.821-1 once, each at its longest (from memory). */
const EVERY: DistressAlert = {
  ...ALERT,
  expansions: [
    { kind: 'finePosition', value: { latitude: 1234, longitude: 5678 } },
    { kind: 'positionSource', value: 'none' },
    { kind: 'speed', value: 12.3 },
    { kind: 'course', value: 234.5 },
    { kind: 'furtherIdentification', value: 'VESSEL SEVENTH SPRAY' },
    {
      kind: 'refinedArea',
      value: {
        latitudeMinutes: 1,
        longitudeMinutes: 2,
        southMinutes: 3,
        eastMinutes: 4,
        speed: 5,
        course: 6,
      },
    },
    { kind: 'personsOnBoard', value: 12 },
  ],
};

/** An expansion worked by hand: persons on board 12 is 106, 00, 12, the end 127 and the exclusive-or of them. */
const PERSONS = [106, 0, 12, 127, 106 ^ 0 ^ 12 ^ 127];

describe.each(['end', 'check'] as const)('expansions after the %s of the call', (expansionsAfter) => {
  const send = (expansions: readonly (readonly number[])[]) =>
    transmit({ symbols, expansions }, { sampleRate, dots: 20, expansionsAfter });

  it('are all read where each stands once at its longest', () => {
    const expansions = encodeCall(EVERY).expansions;
    expect(expansions).toHaveLength(7);
    const calls = receiveCalls(send(expansions), options);
    expect(calls).toHaveLength(1);
    expect(calls[0]).toMatchObject({ symbols, expansions, moreFollowed: false });
    expect(describeReceived(calls[0])).not.toContain('More expansions');
  });

  it('are read as far as the standard goes, and the result says that more followed', () => {
    const expansions = Array.from({ length: 30 }, () => PERSONS);
    const calls = receiveCalls(send(expansions), options);
    expect(calls).toHaveLength(1);
    const [call] = calls;
    expect(call).toMatchObject({ symbols, quality: 'clean', moreFollowed: true });
    expect(call.expansions.length).toBeGreaterThanOrEqual(7);
    expect(call.expansions.every((expansion) => expansion.join() === PERSONS.join())).toBe(true);
    expect(describeReceived(call)).toContain('12 persons on board');
    expect(describeReceived(call)).toContain('More expansions followed than could be read.');

    const { bits } = frameCall({ symbols: symbols, expansions: expansions }, { dots: 0, expansionsAfter });
    const reading = readSequence(bits, 0);
    expect(reading.expansions.length).toBeGreaterThanOrEqual(7);
    expect(reading.moreFollowed).toBe(true);
  });
});

describe('an expansion that cannot be read', () => {
  it('is told of', () => {
    const wrong = [...PERSONS.slice(0, -1), 1];
    const [call] = receiveCalls(
      transmit({ symbols, expansions: [PERSONS, wrong] }, { sampleRate, dots: 20 }),
      options,
    );
    expect(call).toMatchObject({ symbols, expansions: [PERSONS], moreFollowed: true });
  });

  it('is told of where the audio breaks off in it', () => {
    const audio = transmit({ symbols, expansions: [PERSONS] }, { sampleRate, dots: 20, after: 0 });
    const [call] = receiveCalls(audio.subarray(0, audio.length - 0.6 * sampleRate), options);
    expect(call).toMatchObject({ symbols, expansions: [], moreFollowed: true });
  });

  it('is not where nothing follows', () => {
    const [call] = receiveCalls(transmit(symbols, { sampleRate, dots: 20 }), options);
    expect(call).toMatchObject({ symbols, expansions: [], moreFollowed: false });
  });
});
