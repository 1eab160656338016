import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import {
  CHANNEL_PRESETS,
  type ChannelDescription,
  applyChannel,
  channelJsonSchema,
  channelPreset,
  createChannel,
  measureLevelDb,
  parseChannel,
} from '../../src/channel/index.js';
import { sineLevelDb, tone } from './measure.js';

const sampleRate = 12_000;

/** Objects with names and values that some stage would take. */
const nearlyAStage = fc.record(
  {
    snrDb: fc.integer({ min: -80, max: 120 }),
    ebN0Db: fc.constant(3),
    bandwidthHz: fc.oneof(fc.double(), fc.integer({ min: 0, max: 110_000 })),
    levelDb: fc.integer({ min: -120, max: 120 }),
    text: fc.string(),
    overDb: fc.integer({ min: -70, max: 70 }),
    limit: fc.oneof(fc.constant(null), fc.double({ min: 0, max: 1 })),
  },
  { requiredKeys: [] },
);

const verdict = (act: () => unknown) => refusal(act)?.message ?? 'accepted';

const accepts = new Ajv2020({ strictRequired: false }).compile(channelJsonSchema());

describe('a description of unknown origin', () => {
  it.each<[unknown, string]>([
    [null, 'channel: got null, expected an object'],
    [[], 'channel: got [], expected an object'],
    [{}, 'stages: got undefined, expected a list of at most 64 stages'],
    [{ stages: 'noise' }, 'stages: got "noise", expected a list of at most 64 stages'],
    [{ stages: [3] }, 'stages[0]: got 3, expected'],
    [{ stages: [{}] }, 'stages[0].kind: got undefined, expected one of noise, fading, offset'],
    [{ stages: [{ kind: 'fog' }] }, 'stages[0].kind: got "fog", expected one of noise, fading'],
    [
      { stages: [{ kind: 'delay' }] },
      'stages[0].delayMs: got undefined, expected a number from 0 to 60000 ms',
    ],
    [
      { stages: [{ kind: 'agc' }, { kind: 'dc', offset: 0 }, { kind: 'delay', delayMs: '12' }] },
      'stages[2].delayMs: got "12", expected a number from 0 to 60000 ms',
    ],
    [
      { stages: [{ kind: 'delay', delayMs: -1 }] },
      'stages[0].delayMs: got -1, expected a number from 0 to 60000 ms',
    ],
    [{ stages: [{ kind: 'delay', delayMs: NaN }] }, 'stages[0].delayMs: got NaN, expected a number from 0'],
    [
      { stages: [{ kind: 'quantise', bits: 7.5 }] },
      'stages[0].bits: got 7.5, expected an integer from 2 to 24',
    ],
    [{ stages: [{ kind: 'noise', snr: 10 }] }, 'stages[0].snr: got 10, expected nothing by that name'],
    [{ stages: [{ kind: 'noise' }] }, 'expected exactly one of snrDb, ebN0Db, absoluteDb'],
    [
      { stages: [{ kind: 'noise', snrDb: 1, ebN0Db: 1 }] },
      'expected exactly one of snrDb, ebN0Db, absoluteDb',
    ],
    [{ stages: [{ kind: 'clip' }] }, 'expected exactly one of overDb, limit'],
    [{ stages: [{ kind: 'fading', paths: [] }] }, 'stages[0].paths: got [], expected a list of 1 to 8 paths'],
    [
      { stages: [{ kind: 'fading', paths: [{}, { delayMs: 101 }] }] },
      'stages[0].paths[1].delayMs: got 101, expected a number from 0 to 100 ms',
    ],
    [
      { stages: [{ kind: 'fading', condition: 'fair' }] },
      'stages[0].condition: got "fair", expected one of low-latitude-quiet',
    ],
    [{ stages: [], seed: -1 }, 'seed: got -1, expected an integer from 0 to 9007199254740991'],
    [{ stages: [], sampleRate: 12_000 }, 'sampleRate: got 12000, expected nothing by that name'],
    [{ stages: new Array(65).fill({ kind: 'agc' }) }, 'stages: got'],
  ])('is refused with its place: %j', (value, message) => {
    expect(verdict(() => parseChannel(value))).toContain(message);
    expect(accepts(value)).toBe(false);
  });

  it('gains its defaults', () => {
    expect(parseChannel({ stages: [{ kind: 'noise', snrDb: 3 }] })).toEqual({
      seed: 0,
      stages: [{ kind: 'noise', snrDb: 3, bandwidthHz: 3000, bitRate: 100 }],
    });
  });

  it('never brings anything down but by one clear error', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.jsonValue(), nearlyAStage),
        fc.constantFrom('noise', 'nbdp', 'clip'),
        (value, kind) => {
          expect(verdict(() => parseChannel(value))).not.toBe('accepted');
          const stage = typeof value === 'object' && !Array.isArray(value) ? { ...value, kind } : value;
          const agreed = accepts({ stages: [stage] });
          expect(verdict(() => parseChannel({ stages: [stage] })) === 'accepted').toBe(agreed);
        },
      ),
      { numRuns: 200 },
    );
  });
});

describe('what surroundings rule out', () => {
  it.each<[Partial<Parameters<typeof createChannel>[0]>, string]>([
    [{ sampleRate: 44.1 }, 'sampleRate: got 44.1, expected an integer from 4000 to 192000'],
    [
      { stages: [{ kind: 'noise', snrDb: 3 }] },
      'signalLevelDb: got undefined, expected the level of a signal',
    ],
    [
      { stages: [{ kind: 'passband', highHz: 6000 }] },
      'stages[0].highHz: got 6000, expected below half the sample rate',
    ],
    [
      { stages: [{ kind: 'passband', lowHz: 2800 }] },
      'stages[0].lowHz: got 2800, expected below highHz, 2700 Hz',
    ],
    [
      { signalLevelDb: -9, stages: [{ kind: 'carrier', frequencyHz: 6000, levelDb: 0 }] },
      'stages[0].frequencyHz: got 6000, expected every tone between 0 Hz and half the sample rate',
    ],
    [
      { signalLevelDb: -9, stages: [{ kind: 'agc' }, { kind: 'fsk', centreHz: 200, levelDb: 0 }] },
      'stages[1].centreHz: got -25, expected every tone between 0 Hz',
    ],
    [
      { stages: [{ kind: 'gain', gainDb: 3, startSeconds: 2, stopSeconds: 2 }] },
      'stages[0].stopSeconds: got 2, expected a time after startSeconds, 2',
    ],
    [
      { signalLevelDb: -9, stages: [{ kind: 'audio', source: 'other' }] },
      'stages[0].source: got "other", expected the name of audio given in sources',
    ],
    [
      {
        signalLevelDb: -9,
        sources: { other: new Float32Array(9) },
        stages: [{ kind: 'audio', source: 'other' }],
      },
      'stages[0].source: got "other", expected audio that is not silent',
    ],
    [
      {
        signalLevelDb: -9,
        sources: { other: Float32Array.of(NaN) },
        stages: [{ kind: 'audio', source: 'other' }],
      },
      'sources.other[0]: got NaN, expected a finite number',
    ],
  ])('is refused: %o', (options, message) => {
    expect(verdict(() => createChannel({ sampleRate, stages: [], ...options }))).toContain(message);
  });

  it('refuses samples that are no numbers, and blocks after the end', () => {
    const channel = createChannel({ sampleRate, stages: [] });
    expect(verdict(() => channel.push(Float32Array.of(0, Infinity)))).toContain('block[1]: got Infinity');
    expect(verdict(() => channel.push([0] as unknown as Float32Array))).toContain(
      'block: got [0], expected a Float32Array',
    );
    channel.flush();
    expect(channel.flush().length).toBe(0);
    expect(verdict(() => channel.push(new Float32Array(1)))).toContain('reset() first');
    channel.reset();
    expect(channel.push(Float32Array.of(0.5))).toEqual(Float32Array.of(0.5));
  });

  it('refuses to measure silence for noise relative to it', () => {
    const act = (): unknown =>
      applyChannel(new Float32Array(100), { sampleRate, stages: [{ kind: 'noise', snrDb: 3 }] });
    expect(verdict(act)).toContain('signalLevelDb: got undefined');
  });
});

describe('the level of a signal', () => {
  it('is its mean square in dB: −9.03 dB for a sine of amplitude 0.5', () => {
    expect(measureLevelDb(tone(sampleRate, 1700, 1))).toBeCloseTo(-9.031, 3);
    expect(measureLevelDb(new Float32Array(1000))).toBe(-Infinity);
  });

  it('is measured over the whole signal where it is not given, without the silence around it', () => {
    const call = tone(sampleRate, 1700, 1.024);
    const padded = new Float32Array(5 * call.length);
    padded.set(call, call.length);
    expect(measureLevelDb(padded)).toBeCloseTo(-9.031, 3);
    const stages: ChannelDescription['stages'] = [{ kind: 'noise', snrDb: 6 }];
    expect(applyChannel(call, { sampleRate, stages })).toEqual(
      applyChannel(call, { sampleRate, stages, signalLevelDb: measureLevelDb(call) }),
    );
    expect(Math.abs(measureLevelDb(call) - sineLevelDb(0.5))).toBeLessThan(0.01);
  });
});

describe('presets', () => {
  it.each(Object.entries(CHANNEL_PRESETS))('%s works on a signal', (name, preset) => {
    expect(accepts(preset)).toBe(true);
    expect(channelPreset(name)).toBe(preset);
    const output = applyChannel(tone(sampleRate, 1700, 1), { sampleRate, ...preset });
    expect(output.every(Number.isFinite)).toBe(true);
    expect(output.length).toBeGreaterThan(11_900);
  });

  it('of no such name are refused with the names there are', () => {
    expect(verdict(() => channelPreset('constructor'))).toContain('one of low-latitude-quiet, ');
  });
});

describe('docs/channel.md', () => {
  const page = readFileSync(new URL('../../docs/channel.md', import.meta.url), 'utf8');

  it('has an example of a chain that works', () => {
    const examples = [...page.matchAll(/```json\n(.*?)```/gsu)].map((match) => match[1]);
    expect(examples.length).toBeGreaterThan(0);
    for (const example of examples) {
      const description = parseChannel(JSON.parse(example));
      const other = tone(sampleRate, 900, 1);
      const options = { sampleRate, ...description, sources: { 'other-call': other } };
      expect(applyChannel(tone(sampleRate, 1700, 1), options).length).toBeGreaterThan(11_000);
    }
  });

  it('names every stage, parameter, range, default and preset', () => {
    const schema = channelJsonSchema() as {
      properties: { stages: { items: { oneOf: { properties: Record<string, Record<string, unknown>> }[] } } };
    };
    const rows = page.split('\n').map((line) => line.split('|').map((cell) => cell.trim()));
    for (const { properties } of schema.properties.stages.items.oneOf) {
      const kind = properties.kind.const as string;
      for (const [name, field] of Object.entries(properties)) {
        if (name === 'kind') continue;
        const cells = rows.find((row) => row[1] === `\`${kind}\`` && row[2] === `\`${name}\``) ?? [];
        expect(cells.length, `${kind}.${name}`).toBeGreaterThan(4);
        if (typeof field.minimum === 'number') {
          expect(cells[3], `${kind}.${name}`).toContain(
            `${String(field.minimum)} to ${String(field.maximum)}`,
          );
        }
        if (field.default !== undefined)
          expect(cells[4], `${kind}.${name}`).toBe(JSON.stringify(field.default));
      }
    }
    for (const name of Object.keys(CHANNEL_PRESETS)) expect(page).toContain(`\`${name}\``);
  });
});
