/** A watch as it runs: inputs that end, fail and come back, calls in its log, an end that loses nothing. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from '@photostructure/sqlite';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { callToAudio, encodeCall, receiveCalls, type Call } from '../../src/index.js';
import { sendingsOf } from '../../src/records/index.js';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import {
  checkWatch,
  runWatch,
  type InputConfig,
  type SliceInput,
  type WatchEvent,
} from '../../src/watch/index.js';
import { readWav } from '../../src/wav/index.js';
import { checkSliceScene, createIqWriter, sliceBlocks } from '../../src/radio/index.js';
import { ALERT } from '../scenes/alert.js';
import { createSlice } from '../scenes/slice.js';

const RATE = 8000;
const VHF = 156_525_000;
const NOON = Date.UTC(2031, 4, 17, 12);
const TEST: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };

/** Sendings of the attempt: three show all that five do. */
const SENDINGS = 3;

/** Audio as 16-bit samples, with seconds of faint noise around it. */
function raw(audio: Float32Array, before = 1, behind = 3): Buffer {
  const bytes = Buffer.alloc(2 * (audio.length + (before + behind) * RATE));
  for (let n = 0; n < bytes.length / 2; n++) {
    const sample = audio[n - before * RATE] ?? 0;
    bytes.writeInt16LE(Math.round(20_000 * sample + 40 * Math.sin(n * n)), 2 * n);
  }
  return bytes;
}

let top: string;
let folder: string;
const inFolder = (name: string) => join(folder, name);
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'watch-'));
  writeFileSync(join(top, 'test.raw'), raw(callToAudio(TEST, { band: 'vhf', sampleRate: RATE })));
  const attempt = callToAudio(ALERT, { band: 'mf-hf', sampleRate: RATE, repeat: SENDINGS });
  writeFileSync(join(top, 'alert.raw'), raw(attempt));
  // The attempt as a watch hears it that is stopped in the middle of it.
  writeFileSync(join(top, 'cut.raw'), raw(attempt).subarray(0, 2 * 13 * RATE));
});
afterAll(() => {
  rmSync(top, { recursive: true, force: true });
});
beforeEach(() => {
  folder = mkdtempSync(join(top, 'run-'));
});

let stop: AbortController;
let events: WatchEvent[];
beforeEach(() => {
  stop = new AbortController();
  events = [];
});
afterEach(() => {
  stop.abort();
});

function run(inputs: readonly Partial<InputConfig>[], onEvent?: (event: WatchEvent) => void): Promise<void> {
  const config = checkWatch({
    log: inFolder('heard.db'),
    inputs: inputs.map((input, i) => ({ name: `input ${i}`, format: 's16', sampleRate: RATE, ...input })),
  });
  return runWatch(config, {
    clock: Date.now,
    signal: stop.signal,
    onEvent: (event) => {
      events.push(event);
      onEvent?.(event);
    },
  });
}

async function inStore<Result>(
  read: (store: Awaited<ReturnType<typeof openHeardStore>>) => Result,
): Promise<Result> {
  const store = await openHeardStore(inFolder('heard.db'), { clock: Date.now, readonly: true });
  try {
    return read(store);
  } finally {
    store.close();
  }
}

const happened = () => events.flatMap((event) => (event.type === 'input' ? [event.event] : []));
const play = (name: string, input: Partial<InputConfig> = {}): Partial<InputConfig> => ({
  pipe: join(top, name),
  frequencyHz: 8_414_500,
  recorded: new Date(NOON).toISOString(),
  ...input,
});

describe('recordings that are played', () => {
  it('are heard to their ends, one call on two inputs linked, and the watch ends with them', async () => {
    await run([play('alert.raw'), play('alert.raw', { recorded: new Date(NOON + 1500).toISOString() })]);
    const entries = await inStore(({ calls }) => calls.list());
    expect(entries.map(({ kind, input, sendings }) => [kind, input, sendings?.length])).toEqual([
      ['distressAlert', 'input 0', SENDINGS],
      ['distressAlert', 'input 1', SENDINGS],
    ]);
    expect(entries.filter(({ sameAs }) => sameAs === undefined)).toHaveLength(1);
    // A second of noise and 200 dots, 2 s, before the first phasing character (M.493 §3.4, from memory).
    expect(Math.abs(entries[0].time - (NOON + 3000))).toBeLessThan(20);
    expect(entries[0].timeSource).toBe('recorded');
    expect(
      happened()
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(['ended', 'ended', 'started', 'started']);
  });

  it('played again after a crash add nothing, and tell nothing again', async () => {
    await run([play('cut.raw')]);
    const sure = () =>
      events.filter((event) => event.type === 'call' && event.received.quality !== 'doubtful').length;
    const told = sure();
    expect(told).toBeGreaterThan(0);
    events = [];
    await run([play('alert.raw')]);
    expect(sure()).toBe(SENDINGS - told);
    // The sending that was cut began an entry of its own; read whole now, it stands there.
    const entries = await inStore((store) => store.calls.list({ sure: true }));
    const times = entries.flatMap((entry) => sendingsOf(entry)).map(({ time }) => Math.round(time / 100));
    expect(times).toHaveLength(SENDINGS);
    expect(new Set(times).size).toBe(SENDINGS);
    expect(await inStore((store) => store.calls.list({ quality: 'doubtful' }))).toEqual([]);
  });
});

describe('a log that another program holds', () => {
  it('keeps nobody from hearing: calls are kept, and told in order once they are logged', async () => {
    await run([play('cut.raw')]);
    events = [];
    const holder = new DatabaseSync(inFolder('heard.db'));
    holder.exec('BEGIN IMMEDIATE');
    const over = run([
      { command: ['sh', '-c', `cat ${join(top, 'test.raw')}; exec sleep 60`], frequencyHz: VHF },
    ]);
    await vi.waitFor(() => {
      expect(events.map(({ type }) => type)).toEqual(['held']);
    }, 60_000);
    holder.exec('ROLLBACK');
    holder.close();
    await vi.waitFor(() => {
      expect(events.map(({ type }) => type)).toContain('call');
    }, 60_000);
    await vi.waitFor(() => {
      expect(events.filter(({ type }) => type === 'held')).toEqual([
        { type: 'held', since: expect.any(Number) as number },
        { type: 'held', since: expect.any(Number) as number, until: expect.any(Number) as number },
      ]);
    }, 60_000);
    stop.abort();
    await over;
    const told = events.flatMap((event) =>
      event.type === 'call' ? [event.entry.kind] : event.type === 'input' ? [event.event.kind] : [],
    );
    expect(told.filter((kind) => kind !== 'gap')).toEqual(['started', 'testCall', 'stopped']);
    expect(await inStore(({ calls }) => calls.list({ kind: 'testCall' }))).toHaveLength(1);
  });
});

describe('a slice of spectrum', () => {
  const SLICE = { sampleRate: 32_000, tunedHz: 8_420_000 };
  const input = (extra: Partial<SliceInput> = {}): Partial<InputConfig> => ({
    ...SLICE,
    name: 'slice',
    format: 'cs16',
    pipe: join(top, 'slice.cs16'),
    recorded: new Date(NOON).toISOString(),
    ...extra,
  });
  beforeAll(() => {
    const sent: [Call, number][] = [
      [ALERT, 8_414_500],
      [TEST, 8_415_500],
    ];
    const { i, q } = createSlice(
      { ...SLICE, seconds: 10 },
      sent.map(([call, hz]) => ({ symbols: encodeCall(call).symbols, hz, at: 1, amplitude: 0.02 })),
      -60,
      1,
    );
    const bytes = Buffer.alloc(4 * i.length);
    i.forEach((sample, n) => {
      bytes.writeInt16LE(Math.round(32_767 * sample), 4 * n);
      bytes.writeInt16LE(Math.round(32_767 * q[n]), 4 * n + 2);
    });
    writeFileSync(join(top, 'slice.cs16'), bytes);
  });

  it('is heard on every DSC frequency in it, each call logged with its own and its sound', async () => {
    const audio = play('alert.raw', { name: 'receiver', recorded: new Date(NOON).toISOString() });
    await run([input(), audio]);
    const entries = await inStore(({ calls }) => calls.list({ input: 'slice' }));
    expect(entries.map(({ kind, frequencyHz }) => [kind, frequencyHz])).toEqual([
      ['testCall', 8_415_500],
      ['distressAlert', 8_414_500],
    ]);
    // A second of noise and 200 dots before an alert.
    expect(Math.abs(entries[1].time - (NOON + 3000))).toBeLessThan(30);
    // The receiver beside it heard the same alert.
    const all = await inStore(({ calls }) => calls.list());
    expect(
      all.filter(({ sameAs }) => sameAs !== undefined).map(({ kind, frequencyHz }) => [kind, frequencyHz]),
    ).toEqual([['distressAlert', 8_414_500]]);
    const clips = await inStore((store) => entries.map(({ id }) => store.clip(id)));
    for (const [n, clip] of clips.entries()) {
      const { sampleRate, channels } = readWav(clip ?? new Uint8Array(0));
      const [call] = receiveCalls(channels[0], { sampleRate, bands: ['mf-hf'], centreHz: 1700 });
      expect(call.symbols).toEqual(entries[n].symbols);
    }
    const levels = await inStore((store) => store.levels({ input: 'slice' }));
    expect(levels.map(({ seconds }) => seconds)).toEqual([10]);
    // Two carriers of 0.02, each 20·log10(0.02) − 3 = −37 dB in either part, for most of the time.
    expect(levels[0].rmsDb).toBeGreaterThan(-37);
    expect(levels[0].rmsDb).toBeLessThan(-33);
  });

  it('played again adds nothing', async () => {
    await run([input()]);
    const before = await inStore(({ calls }) => calls.list());
    events = [];
    await run([input()]);
    expect(events.filter(({ type }) => type === 'call')).toEqual([]);
    expect(await inStore(({ calls }) => calls.list())).toEqual(before);
  });

  it('comes from a program that ends and is started again', async () => {
    const { recorded: _, pipe: __, ...rest } = input();
    await run([{ ...rest, command: ['cat', join(top, 'slice.cs16')] }], () => {
      if (happened().filter(({ kind }) => kind === 'ended').length >= 2) stop.abort();
    });
    const entries = await inStore(({ calls }) => calls.list());
    const heard = entries.flatMap((entry) =>
      sendingsOf(entry).map(() => `${entry.kind} ${entry.frequencyHz}`),
    );
    expect(heard.filter((one) => one === 'distressAlert 8414500')).toHaveLength(2);
    expect(heard.filter((one) => one === 'testCall 8415500')).toHaveLength(2);
  });
});

describe('a slice of spectrum that is heard between the DSC frequencies', () => {
  const SLICE = { sampleRate: 12_000, tunedHz: 8_417_200, seconds: 21, seed: 1, noiseDb: -70 };
  /** On the seam of two receivers, 1 Hz from where the tens of hertz are rounded, and on a DSC frequency nearly. */
  const calls = [
    { call: ALERT, frequencyHz: 8_420_034, atSeconds: 1, levelDb: -30, repeat: 2 },
    { call: TEST, frequencyHz: 8_414_530, atSeconds: 2, levelDb: -40 },
  ];
  const input = (name: string): Partial<InputConfig> => ({
    name,
    format: 'cs16',
    sampleRate: SLICE.sampleRate,
    tunedHz: SLICE.tunedHz,
    pipe: join(top, `${name}.cs16`),
    recorded: new Date(NOON).toISOString(),
    anywhere: true,
  });
  beforeAll(() => {
    for (const [name, oscillatorPpm] of [
      ['west', 0],
      ['east', 2],
    ] as const) {
      const writer = createIqWriter('cs16');
      const scene = checkSliceScene({ ...SLICE, calls, receiver: { oscillatorPpm } });
      writeFileSync(
        join(top, `${name}.cs16`),
        Buffer.concat([...sliceBlocks(scene)].map((block) => writer.push(block))),
      );
    }
  });

  it('tells each call once, where it was measured, what another input heard as the same, and played again nothing', async () => {
    await run([input('west'), input('east')]);
    const entries = await inStore((store) => store.calls.list());
    const told = (name: string) =>
      entries
        .filter((entry) => entry.input === name)
        .map((entry) => [entry.kind, entry.frequencyHz, sendingsOf(entry).length]);
    expect(told('west').sort()).toEqual([
      ['distressAlert', 8_420_030, 2],
      ['testCall', 8_414_500, 1],
    ]);
    // 2 ppm of 8.4 MHz, so much higher the receiver is tuned and so much lower everything lies.
    expect(told('east').sort()).toEqual([
      ['distressAlert', 8_420_020, 2],
      ['testCall', 8_414_500, 1],
    ]);
    expect(entries.filter(({ sameAs }) => sameAs === undefined)).toHaveLength(2);
    for (const { id, symbols } of entries) {
      const { sampleRate, channels } = readWav(
        (await inStore((store) => store.clip(id))) ?? new Uint8Array(0),
      );
      const heard = receiveCalls(channels[0], { sampleRate, bands: ['mf-hf'] });
      expect(heard.map((call) => call.symbols)).toContainEqual(symbols);
    }
    const levels = await inStore((store) => store.levels({ input: 'west' }));
    expect(levels.map(({ seconds }) => seconds)).toEqual([21]);
    expect(happened().filter(({ kind }) => kind === 'gap' || kind === 'silence')).toEqual([]);
    events = [];
    await run([input('east')]);
    expect(events.filter(({ type }) => type === 'call')).toEqual([]);
    expect(await inStore((store) => store.calls.list())).toEqual(entries);
  });
});

describe('live inputs', () => {
  it('are started again when they end, with longer and longer waits, until the watch is stopped', async () => {
    const cat = ['cat', join(top, 'test.raw')];
    await run([{ command: cat, frequencyHz: VHF }, { command: ['no-such-program'] }], () => {
      if (happened().filter(({ kind }) => kind === 'ended').length >= 5) stop.abort();
    });
    const texts = happened()
      .filter(({ kind }) => kind === 'ended')
      .map(({ input, text }) => `${input}: ${text}`);
    expect(texts).toContain('input 0: cat ended with status 0; tried again in 1 s');
    expect(texts).toContain('input 0: cat ended with status 0; tried again in 2 s');
    expect(texts.join()).toMatch(
      /input 1: no-such-program cannot be started: there is no such file or folder/,
    );
    const entries = await inStore(({ calls }) => calls.list());
    // At full speed the second follows within the time that an attempt takes.
    expect(entries.flatMap((entry) => sendingsOf(entry)).length).toBeGreaterThanOrEqual(2);
    expect(entries.every(({ timeSource, sameAs }) => timeSource === 'live' && sameAs === undefined)).toBe(
      true,
    );
    expect(happened().filter(({ kind }) => kind === 'stopped')).toHaveLength(2);
  });

  it('that are pipes wait for a writer, and outlive it', async () => {
    const pipe = inFolder('pipe');
    if (spawnSync('mkfifo', [pipe]).status !== 0) return;
    let heard = 0;
    const write = () => spawn('sh', ['-c', `cat '${join(top, 'test.raw')}' > '${pipe}'`]);
    const running = run([{ pipe, gapSeconds: 1, frequencyHz: VHF }], (event) => {
      if (event.type === 'call' && ++heard === 2) stop.abort();
      // The second writer comes when the first has been missed, however slow the machine is.
      if (event.type !== 'input' || heard !== 1) return;
      const { kind, until } = event.event;
      if (kind === 'gap' && until === undefined) write();
    });
    setTimeout(write, 300);
    await running;
    expect(heard).toBe(2);
    const gap = happened().find(({ kind, until }) => kind === 'gap' && until !== undefined);
    expect((gap?.until ?? 0) - (gap?.time ?? 0)).toBeGreaterThan(1000);
    expect(happened().filter(({ kind }) => kind === 'ended')).toEqual([]);
  });

  it('that send only silence are told of, and when it is over', async () => {
    writeFileSync(
      inFolder('quiet.raw'),
      Buffer.concat([Buffer.alloc(2 * 5 * RATE), raw(new Float32Array(0))]),
    );
    await run([play(inFolder('quiet.raw'), { pipe: inFolder('quiet.raw'), silenceSeconds: 2 })]);
    const silence = happened().filter(({ kind }) => kind === 'silence');
    expect(silence.map(({ time, until }) => [time, until !== undefined])).toEqual([
      [NOON, false],
      [NOON, true],
    ]);
    expect(await inStore((store) => store.events().filter(({ kind }) => kind === 'silence'))).toHaveLength(1);
  });

  it('are refused where a file would be heard as if it were live', async () => {
    await expect(run([{ pipe: join(top, 'test.raw') }])).rejects.toThrow(
      /inputs\[0\]\.pipe: .* recorded beside it/,
    );
  });
});

describe('a watch that is started again', () => {
  it('notes since when it did not hear', async () => {
    const config = [{ command: ['cat', join(top, 'test.raw')], frequencyHz: VHF }];
    const untilEnded = ({ type }: WatchEvent) => {
      if (type === 'input' && happened().some(({ kind }) => kind === 'ended')) stop.abort();
    };
    await run(config, untilEnded);
    stop = new AbortController();
    events = [];
    await new Promise((resolve) => setTimeout(resolve, 1000));
    await run(config, untilEnded);
    expect(happened()[0]).toMatchObject({ kind: 'gap', text: 'the watch was not running' });
  });

  it('is told where its log cannot be opened', async () => {
    folder = join(folder, 'missing');
    await expect(run([{ command: ['cat'] }])).rejects.toThrow(/log: .* a folder that exists/);
  });
});
