/** An exchange with an operator, on a clock of samples. */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { LiveExchange, type Ask, type CallPlan, type Decision } from '../../src/cli/call/exchange.js';
import { Printer } from '../../src/cli/call/printer.js';
import { ExchangeRecord } from '../../src/cli/call/record.js';
import { LogFile } from '../../src/cli/log/file.js';
import { profileOf } from '../../src/cli/profile/profile.js';
import type { SoundPort } from '../../src/cli/sound/port.js';
import type { Choice } from '../../src/procedures/index.js';
import { callToAudio } from '../../src/transmitter/index.js';

const RATE = 8000;
const PIECE = 800;
const START = Date.parse('2031-05-17T12:00:00Z');

/** Sound on a clock that runs as fast as it computes; what is played takes its time. */
class SimulatedPort implements SoundPort {
  readonly sampleRate = RATE;
  readonly kind = 'file';
  readonly isSoundCard = false;
  readonly inputName = 'the simulation';
  readonly played: number[] = [];
  private passed = 0;
  private playing: { end: number; onEnd: (isWhole: boolean) => void } | undefined;
  private isClosed = false;

  /** @param answers - what comes in, by the second at which it begins */
  constructor(private readonly answers: ReadonlyMap<number, Float32Array> = new Map()) {}

  now(): number {
    return START + (this.passed * 1000) / RATE;
  }

  /** Seconds so far. */
  get seconds(): number {
    return this.passed / RATE;
  }

  async *blocks(): AsyncGenerator<Float32Array> {
    while (!this.isClosed && this.seconds < 3600) {
      const block = new Float32Array(PIECE);
      for (const [second, sound] of this.answers) {
        const at = this.passed - second * RATE;
        if (at > -PIECE && at < sound.length)
          block.set(sound.subarray(Math.max(0, at), at + PIECE).subarray(0, PIECE));
      }
      // Questions are answered meanwhile.
      await new Promise((resolve) => setImmediate(resolve));
      yield block;
      this.passed += PIECE;
      const { playing } = this;
      if (playing && playing.end <= this.passed) {
        this.playing = undefined;
        playing.onEnd(true);
      }
    }
  }

  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void {
    this.played.push(this.seconds);
    this.playing = { end: this.passed + audio.length, onEnd };
  }

  cut(): void {
    const { playing } = this;
    this.playing = undefined;
    playing?.onEnd(false);
  }

  close(): void {
    this.isClosed = true;
  }
}

interface Question {
  readonly message: string;
  readonly at: number;
  readonly choices: readonly Choice[];
}

async function perform(
  call: Call,
  decisions: Decision[],
  answers?: ReadonlyMap<number, Float32Array>,
  more: Partial<CallPlan> & { readonly hesitates?: true; readonly alone?: true } = {},
) {
  const port = new SimulatedPort(answers);
  const asked: Question[] = [];
  const { hesitates, alone, ...plan } = more;
  const ask: Ask = (message, choices, _, signal) => {
    asked.push({ message, choices, at: port.seconds });
    if (hesitates) {
      return new Promise((_resolve, reject) => {
        signal.addEventListener('abort', () => {
          reject(new Error('the question was taken back'));
        });
      });
    }
    const [decision = 'end'] = decisions.splice(0, 1);
    return Promise.resolve(decision);
  };
  const text: string[] = [];
  const stream = { write: (line: string) => text.push(line) > 0, isTTY: false, columns: 200 };
  const profile = await profileOf({});
  const exchange = new LiveExchange(
    {
      call,
      frequencies: [156_525_000],
      band: 'vhf',
      tones: { level: 0.5 },
      waitMs: undefined,
      attempts: 1,
      ...plan,
    },
    {
      port,
      printer: new Printer(stream as unknown as NodeJS.WriteStream),
      record: new ExchangeRecord(await LogFile.open(undefined), profile, undefined),
      profile,
      ask: alone ? undefined : ask,
    },
  );
  const outcome = await exchange.run();
  return { outcome, asked, played: port.played, text: text.join('').replace(/\s+/g, ' ') };
}

const SHIP = '299123456';
const OTHER = '299654321';
const routine: Call = {
  kind: 'routineCall',
  to: { station: OTHER },
  self: SHIP,
  telecommand1: 'f3e',
  telecommand2: 'none',
  message: { receive: { vhfChannel: 8 }, transmit: 'none' },
};
const test: Call = { kind: 'testCall', to: { station: OTHER }, self: SHIP };
const alert: Call = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'fire',
  position: 'none',
  time: 'none',
  followOn: 'f3e',
};
const audio = (call: Call) => callToAudio(call, { band: 'vhf', sampleRate: RATE });

describe('an operator without an answer', () => {
  it('may send a test call again after 60 s', async () => {
    const { outcome, asked, played } = await perform(test, ['resend', 'stop']);
    expect(asked.map(({ message }) => message)).toEqual([
      'No acknowledgement. What next?',
      'No acknowledgement. What next?',
    ]);
    expect(asked[0].at).toBeCloseTo(60.6, 0);
    expect(played[1]).toBeCloseTo(60.7, 0);
    expect(outcome).toBe('unanswered');
  });

  // ITU-R M.541 Annex 3 §4.2 (from memory): a ship repeats a routine call after 5 minutes, then after 15.
  it('may send a routine call again after 5 minutes, and then after 15', { timeout: 120_000 }, async () => {
    const { asked, played } = await perform(routine, [
      // At 60 s the question is whether to leave the call; the repetition is offered when its time has come.
      ...Array<Decision>(9).fill('listen'),
      'resend',
      ...Array<Decision>(18).fill('listen'),
    ]);
    const offers = asked.filter(({ choices }) => choices.some(({ choice }) => choice === 'resend'));
    expect(asked[0].at).toBeCloseTo(60.6, 0);
    expect(asked[0].choices.map(({ choice }) => choice)).toEqual(['stop']);
    expect(offers[0].at).toBeGreaterThanOrEqual(300);
    expect(played[1]).toBeGreaterThan(300);
    const second = offers.find(({ at }) => at > played[1]);
    const from = second?.choices.find(({ choice }) => choice === 'resend')?.from ?? 0;
    // From the end of the second sending, 0.53 s.
    expect((from - START) / 1000 - played[1]).toBeCloseTo(900.5, 0);
    expect(second?.choices.find(({ choice }) => choice === 'resend')?.rule).toBe('routineWait');
  });

  it('may stop an alert that repeats itself, or take it back', async () => {
    const stopped = await perform(alert, ['stop']);
    expect(stopped.outcome).toBe('unanswered');
    expect(stopped.text).toContain('If it was not meant, cancel it.');
    const cancelled = await perform(alert, ['cancel']);
    expect(cancelled.outcome).toBe('cancelled');
    expect(cancelled.played).toHaveLength(2);
    expect(cancelled.text).toContain('All stations, all stations, all stations');
  });

  it('hears an alert repeat itself after 3.5 to 4.5 minutes', async () => {
    const { played } = await perform(alert, [...Array<Decision>(9).fill('listen'), 'stop']);
    // M541-8 Annex 1 §3.1.3.1.
    expect(played[1] - played[0]).toBeGreaterThanOrEqual(210);
    expect(played[1] - played[0]).toBeLessThanOrEqual(270.2);
  });
});

describe('a relay whose casualty alerts itself meanwhile, unanswered', () => {
  const relay: Call = {
    kind: 'distressRelay',
    to: { station: '002991234' },
    self: SHIP,
    casualty: OTHER,
    nature: 'fire',
    position: 'none',
    time: 'none',
    followOn: 'f3e',
  };
  const ownAlert: Call = { ...alert, self: OTHER };
  const acknowledged: Call = {
    ...alert,
    kind: 'distressAcknowledgement',
    self: '002995678',
    casualty: OTHER,
  };

  // FCC80 §80.1117(a) and §80.1121(b): on VHF a ship relays an alert only where further help is necessary.
  it('is not sent again without an operator, nor asked for without end', async () => {
    const heard = new Map([[10, audio(ownAlert)]]);
    const { outcome, played, text } = await perform(relay, [], heard, { attempts: 3, alone: true });
    expect([outcome, played.length]).toEqual(['unanswered', 1]);
    expect(text.split('further help necessary').length - 1).toBeLessThan(5);
  });

  it('is left where another coast station acknowledged the alert', async () => {
    const heard = new Map([
      [10, audio(ownAlert)],
      [20, audio(acknowledged)],
    ]);
    const { outcome, played } = await perform(relay, [], heard, { attempts: 3, alone: true });
    expect([outcome, played.length]).toEqual(['unanswered', 1]);
  });

  it('is sent again by an operator who is told what that says', async () => {
    const heard = new Map([[10, audio(ownAlert)]]);
    const { asked, played } = await perform(relay, ['resend'], heard);
    expect(asked[0].choices.find(({ choice }) => choice === 'resend')?.needs).toBe('necessary');
    expect(played).toHaveLength(2);
  });
});

describe('an operator with an answer', () => {
  const refusal: Call = {
    kind: 'routineAcknowledgement',
    to: { station: SHIP },
    self: OTHER,
    telecommand1: 'unable',
    telecommand2: 'busy',
    message: { receive: 'none', transmit: 'none' },
  };
  it('is told of a refusal, and asked', async () => {
    const { outcome, asked } = await perform(routine, ['end'], new Map([[5, audio(refusal)]]));
    expect(asked.map(({ message }) => message)).toEqual(['The called station cannot comply. What next?']);
    expect(outcome).toBe('declined');
  });

  it('is not asked when it comes in time', async () => {
    const yes: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: OTHER };
    const { outcome, asked, text } = await perform(test, [], new Map([[20, audio(yes)]]));
    expect(asked).toEqual([]);
    expect(outcome).toBe('acknowledged');
    expect(text).toContain('telecommand 1 118 test');
  });

  it('sees another channel proposed, and where voice follows then', async () => {
    const elsewhere: Call = {
      ...refusal,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 72 }, transmit: 'none' },
    };
    const { outcome, text } = await perform(routine, [], new Map([[5, audio(elsewhere)]]));
    expect(outcome).toBe('acknowledged');
    expect(text).toContain('Voice follows: VHF channel 72');
    expect(text).toContain('names another working frequency in its acknowledgement');
  });

  const yes: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: OTHER };

  it('is not asked any longer when it comes late', async () => {
    const { outcome, asked, text } = await perform(test, [], new Map([[63, audio(yes)]]), {
      hesitates: true,
    });
    expect(asked[0].at).toBeCloseTo(60.6, 0);
    expect(asked.every(({ message }) => message.startsWith('No acknowledgement'))).toBe(true);
    expect(outcome).toBe('acknowledged');
    expect(text).toContain('It came late.');
  });

  it('sees what was not received whole, which is not taken for the answer', async () => {
    const damaged = audio(yes);
    // The first characters of the sender's identity, in DX and in RX: from bit 320 to 420 of 640 at 1200 Bd.
    damaged.fill(0, (320 * RATE) / 1200, (420 * RATE) / 1200);
    const { outcome, text } = await perform(test, ['stop'], new Map([[5, damaged]]));
    expect(text).toContain('characters were not received');
    expect(text).toContain('no answer goes out and no alert falls silent on its word');
    expect(outcome).toBe('unanswered');
  });

  it('sees calls of others to the own station and to all, and is not disturbed', async () => {
    const request: Call = { kind: 'testCall', to: { station: SHIP }, self: '299777888' };
    const other: Call = { ...alert, self: '299777888' };
    const { outcome, text } = await perform(
      test,
      [],
      new Map([
        [4, audio(request)],
        [8, audio(other)],
        [12, audio(yes)],
      ]),
    );
    expect(text.match(/Heard on/g)).toHaveLength(3);
    expect(text).toContain('a decoded distress alert is not a watch');
    expect(outcome).toBe('acknowledged');
  });

  it('waits with the call until the frequency is free', async () => {
    // The other call begins at once; its phasing is told after about 0.2 s, so the own call is already out: it is the
    // second one that waits.
    const others = new Map([[60.4, callToAudio(alert, { band: 'vhf', sampleRate: RATE, repeat: 5 })]]);
    const { played } = await perform({ ...test, self: '299123457' }, ['resend', 'stop'], others);
    expect(played).toHaveLength(2);
    // Five alerts of 0.45 s.
    expect(played[1]).toBeGreaterThan(60.4 + 5 * 0.45 - 0.5);
  });
});
