/** Scenarios: virtual stations that exchange calls as audio, by their behaviours. */
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import { followUpOf } from '../../src/frequencies/index.js';
import { createMemoryLog } from '../../src/records/index.js';
import {
  SCENARIOS,
  createPlay,
  parseScenario,
  playScenario,
  playScenarioLive,
  scenarioJsonSchema,
  stationLogger,
  type SimulationEvent,
  type PlayOptions,
  type Scenario,
  type ScenarioEvent,
  type ScenarioStation,
} from '../../src/simulation/index.js';
import { sized } from '../size.js';

const SHIP = '299000111';
const OTHER = '299000222';
const COAST = '002990001';
const MF = 2_187_500;
const VHF = 156_525_000;
const START = '2031-05-17T12:00:00Z';

const test: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const routine: Call = {
  kind: 'routineCall',
  to: { station: OTHER },
  self: SHIP,
  telecommand1: 'f3e',
  telecommand2: 'none',
  message: { receive: { vhfChannel: 72 }, transmit: 'none' },
};

function station(identity: string, more: Partial<ScenarioStation> = {}): ScenarioStation {
  return { identity, name: `Station ${identity}`, watch: [VHF], reactionSeconds: [2, 3], ...more };
}

/** A ship that sends a call to a station in some behaviour. */
function exchange(call: Call, called: ScenarioStation, more: Partial<Scenario> = {}): Scenario {
  return parseScenario({
    title: 'An exchange',
    seed: 1,
    start: START,
    durationSeconds: 20,
    own: SHIP,
    stations: [station(SHIP, { attempts: 1 }), called],
    events: [{ at: 1, station: SHIP, do: 'call', call, frequencyHz: VHF }],
    ...more,
  });
}

const seconds = ({ time }: SimulationEvent) => (time - Date.parse(START)) / 1000;

/** Sent calls as `seconds station kind`. */
function sent(happened: readonly SimulationEvent[]): string[] {
  return happened.flatMap((each) =>
    each.type === 'sending' ? [`${seconds(each).toFixed(0)} ${each.station} ${each.call.kind}`] : [],
  );
}

/** Phases of a station's exchanges of a kind, in order. */
function phases(happened: readonly SimulationEvent[], of: string, kind = 'outgoing'): string[] {
  return happened.flatMap((each) =>
    each.station === of && each.type === 'action' && each.action.type === 'phase' && each.action.kind === kind
      ? [each.action.to]
      : [],
  );
}

function voices(happened: readonly SimulationEvent[]): string[] {
  return happened.flatMap((each) => (each.type === 'voice' ? [each.text] : []));
}

describe('the behaviours of a virtual station', () => {
  it('answers', () => {
    const happened = playScenario(exchange(test, station(COAST)));
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'answered']);
    const answer = happened.find((each) => each.type === 'sending' && each.station === COAST);
    const heard = happened.find((each) => each.type === 'received' && each.station === COAST);
    if (!answer || heard?.type !== 'received') throw new Error('an answer was expected');
    // A coast station answers no sooner than 5 s after the call (M.541 Annex 2, from memory).
    const ended = Date.parse(START) + heard.received.end * 1000;
    expect(answer.time - ended).toBeGreaterThanOrEqual(5000);
    expect(answer.time - ended).toBeLessThanOrEqual(5001);
  });

  it('answers late', () => {
    const late = station(COAST, { behaviour: 'answersLate', lateSeconds: 70 });
    const happened = playScenario(exchange(test, late, { durationSeconds: 120 }));
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'unanswered', 'answered']);
  });

  it('refuses, being busy', () => {
    const happened = playScenario(exchange(routine, station(OTHER, { behaviour: 'refusesBusy' })));
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'declined']);
    const answer = happened.findLast((each) => each.type === 'sending');
    expect(answer?.call).toMatchObject({ telecommand1: 'unable', telecommand2: 'busy' });
  });

  it('answers twice', () => {
    const happened = playScenario(exchange(test, station(COAST, { behaviour: 'answersTwice' })));
    expect(sent(happened).map((line) => line.split(' ')[2])).toEqual([
      'testCall',
      'testAcknowledgement',
      'testAcknowledgement',
    ]);
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'answered']);
  });

  it('answers elsewhere: with another channel', () => {
    const elsewhere = { message: { receive: { vhfChannel: 8 }, transmit: 'none' as const } };
    const happened = playScenario(
      exchange(routine, station(OTHER, { behaviour: 'answersElsewhere', elsewhere })),
    );
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'answered']);
    const watched = happened.flatMap((each) =>
      each.type === 'action' && each.action.type === 'watch'
        ? [followUpOf(each.action.call, each.action.frequencyHz, each.action.side).text]
        : [],
    );
    expect(watched).toEqual([
      'voice (F3E/G3E) on VHF channel 8 (156.400 MHz)',
      'voice (F3E/G3E) on VHF channel 8 (156.400 MHz)',
    ]);
    expect(voices(happened)).toEqual([`Station ${OTHER}, this is Station ${SHIP}. Over.`]);
  });

  it('answers elsewhere: on another DSC frequency', () => {
    const elsewhere = station(COAST, { behaviour: 'answersElsewhere', elsewhere: { frequencyHz: MF } });
    const stations = [station(SHIP, { watch: [VHF, MF] }), elsewhere];
    const happened = playScenario(exchange(test, elsewhere, { stations }));
    const answer = happened.findLast((each) => each.type === 'sending');
    expect(answer).toMatchObject({ station: COAST, frequencyHz: MF });
    expect(phases(happened, SHIP)).toEqual(['sending', 'awaiting', 'answered']);
  });

  it.each(['silent', 'outOfRange'] as const)('is %s, and the call is sent a second time', (behaviour) => {
    const stations = [station(SHIP, { attempts: 2 }), station(COAST, { behaviour })];
    const happened = playScenario(exchange(test, station(COAST), { stations, durationSeconds: 150 }));
    expect(phases(happened, SHIP)).toEqual([
      'sending',
      'awaiting',
      'unanswered',
      'sending',
      'awaiting',
      'unanswered',
    ]);
    expect(happened.some((each) => each.type === 'received')).toBe(behaviour === 'silent');
  });

  it('changes with an event', () => {
    const events: ScenarioEvent[] = [
      { at: 1, station: SHIP, do: 'call', call: test, frequencyHz: VHF },
      { at: 64, station: COAST, do: 'behaviour', behaviour: 'answers' },
    ];
    const stations = [station(SHIP, { attempts: 2 }), station(COAST, { behaviour: 'silent' })];
    const happened = playScenario(exchange(test, station(COAST), { stations, events, durationSeconds: 80 }));
    expect(phases(happened, SHIP).at(-1)).toBe('answered');
  });

  it('is out of VHF reach when it has moved too far', () => {
    const stations = [
      station(SHIP, { position: { latitude: 48, longitude: -12 } }),
      station(COAST, { position: { latitude: 48.3, longitude: -12 } }),
    ];
    const near = playScenario(exchange(test, station(COAST), { stations }));
    expect(phases(near, SHIP).at(-1)).toBe('answered');
    stations[1] = { ...stations[1], position: { latitude: 49, longitude: -12 } };
    const far = playScenario(exchange(test, station(COAST), { stations }));
    expect(far.some((each) => each.type === 'received')).toBe(false);
  });

  it('acknowledges no distress alert by itself that nobody chose to', () => {
    const events: ScenarioEvent[] = [
      { at: 1, station: SHIP, do: 'distress', nature: 'fire', followOn: 'f3e', frequencies: [VHF] },
    ];
    const automatic = ['test', 'position', 'polling'] as const;
    const quiet = station(COAST, { behaviour: 'silent', automatic });
    const happened = playScenario(exchange(test, quiet, { events, durationSeconds: 280 }));
    expect(sent(happened).map((line) => line.split(' ').slice(1).join(' '))).toEqual([
      `${SHIP} distressAlert`,
      `${SHIP} distressAlert`,
    ]);
  });

  it('relays an HF alert that no coast station acknowledges, after five minutes', () => {
    const HF = 8_414_500;
    const stations = [
      station(SHIP, { watch: [HF] }),
      station(OTHER, { watch: [HF] }),
      station(COAST, { watch: [HF] }),
    ];
    const happened = playScenario(
      exchange(test, station(COAST), {
        stations,
        durationSeconds: 420,
        paths: [{ from: SHIP, to: COAST, blocked: true }],
        events: [
          { at: 1, station: SHIP, do: 'distress', nature: 'sinking', followOn: 'j3e', frequencies: [HF] },
          { at: 40, station: SHIP, do: 'choose', choice: 'stop' },
        ],
      }),
    );
    const kinds = sent(happened).map((line) => line.split(' ').slice(1).join(' '));
    expect(kinds).toEqual([
      `${SHIP} distressAlert`,
      `${OTHER} distressRelay`,
      `${COAST} relayAcknowledgement`,
    ]);
    const relay = happened.find((each) => each.type === 'sending' && each.call.kind === 'distressRelay');
    expect(relay && seconds(relay)).toBeGreaterThan(300);
  });
});

describe('playing', () => {
  const scenario = exchange(test, station(COAST));

  it('gives the same every time', () => {
    expect(JSON.stringify(playScenario(scenario))).toBe(JSON.stringify(playScenario(scenario)));
  });

  it('leaves a person their part', () => {
    const play = createPlay(scenario, { manual: [SHIP, COAST] });
    const cues = play.advance(Date.parse(START) + 5000);
    expect(cues.map(({ type }) => type)).toEqual(['cue']);
    const [cue] = cues;
    if (cue.type !== 'cue') throw new Error('a cue was expected');
    play.perform(cue.event);
    const heard = play.advance(Date.parse(START) + 10_000);
    expect(heard.some((each) => each.station === COAST && each.type === 'received')).toBe(true);
    const [incoming] = play.state(COAST).exchanges;
    play.act(COAST, { type: 'choose', exchange: incoming.id, choice: 'able' });
    play.advance(Infinity);
    expect(play.state(SHIP).exchanges).toMatchObject([{ phase: 'answered' }]);
    expect(play.next()).toBeUndefined();
  });

  it('records what the own station hears and sends, without a gap', () => {
    const recorded = new Map<number, number>();
    let loudest = 0;
    const options: PlayOptions = {
      onAudio: (hz, samples) => {
        recorded.set(hz, (recorded.get(hz) ?? 0) + samples.length);
        for (const sample of samples) loudest = Math.max(loudest, Math.abs(sample));
      },
    };
    playScenario(scenario, options);
    expect([...recorded]).toEqual([[VHF, 20 * 8000]]);
    expect(loudest).toBeGreaterThan(0.2);
    expect(loudest).toBeLessThan(1);
  });

  it('tells apart what the own station hears from what it sends', () => {
    let [own, between] = [0, 0];
    const events = playScenario(scenario, {
      onAudio: (_, samples, heard) => {
        samples.forEach((sample, n) => {
          if (sample === heard[n]) return;
          own++;
          if (Math.abs(heard[n]) > 0.2) between++;
        });
      },
    });
    const seconds = events.map((each) =>
      each.type === 'sending' && each.station === scenario.own ? each.seconds : 0,
    );
    const sent = seconds.reduce((sum, each) => sum + 8000 * each, 0);
    expect(sent).toBeGreaterThan(0);
    // Here and there the own sound is nought, or goes down in the last digits of the noise.
    expect(own / sent).toBeGreaterThan(0.99);
    expect(own / sent).toBeLessThanOrEqual(1);
    expect(between).toBe(0);
  });

  it('skips what cannot be done and says why', () => {
    const events: ScenarioEvent[] = [{ at: 1, station: SHIP, do: 'choose', choice: 'cancel' }];
    const [event] = playScenario({ ...scenario, events });
    expect(event).toMatchObject({ type: 'skipped', station: SHIP });
  });

  it('keeps to a clock', async () => {
    let now = 1_000_000;
    const waits: number[] = [];
    const happened: SimulationEvent[] = [];
    await playScenarioLive(scenario, {
      pace: 10,
      clock: () => now,
      wait: (milliseconds) => {
        waits.push(milliseconds);
        now += milliseconds;
        return Promise.resolve();
      },
      onEvent: (event) => {
        happened.push(event);
        const due = 1_000_000 + (seconds(event) * 1000) / 10;
        expect(Math.abs(now - due)).toBeLessThan(1);
      },
    });
    expect(JSON.stringify(happened)).toBe(JSON.stringify(playScenario(scenario)));
    expect(waits.every((each) => each > 0)).toBe(true);
  });

  it('stops at once when its signal is aborted, between two events and while it waits', async () => {
    for (const inWait of [false, true]) {
      const stop = new AbortController();
      const reason = new Error('enough');
      let told = 0;
      const played = playScenarioLive(scenario, {
        clock: () => 0,
        wait: () => {
          if (inWait) stop.abort(reason);
          return inWait ? new Promise<void>(() => undefined) : Promise.resolve();
        },
        onEvent: () => {
          if (++told === 2 && !inWait) stop.abort(reason);
        },
        signal: stop.signal,
      });
      await expect(played).rejects.toBe(reason);
      expect(told).toBe(inWait ? 0 : 2);
    }
    const aborted = { clock: () => 0, wait: () => Promise.resolve(), signal: AbortSignal.abort() };
    await expect(playScenarioLive(scenario, { ...aborted, onEvent: () => undefined })).rejects.toThrow();
  });

  it('writes the log of a station', () => {
    const log = createMemoryLog({ clock: () => 0 });
    const other = createMemoryLog({ clock: () => 0 });
    const loggers = [
      stationLogger(log, { ...scenario, own: SHIP }),
      stationLogger(other, { ...scenario, own: COAST }),
    ];
    for (const event of playScenario(scenario)) for (const logger of loggers) logger.take(event);
    expect(
      log
        .list()
        .map(({ direction, kind, acknowledgedAt }) => [direction, kind, acknowledgedAt !== undefined]),
    ).toEqual([
      ['sent', 'testCall', true],
      ['received', 'testAcknowledgement', false],
    ]);
    expect(
      other
        .list()
        .map(({ direction, kind, acknowledgedAt }) => [direction, kind, acknowledgedAt !== undefined]),
    ).toEqual([
      ['received', 'testCall', true],
      ['sent', 'testAcknowledgement', false],
    ]);
    expect(log.list()[0]).toMatchObject({ time: Date.parse(START) + 1000, frequencyHz: VHF });
    const named = createMemoryLog({ clock: () => 0 });
    const logger = stationLogger(named, { ...scenario, own: SHIP }, (identity) => `Station ${identity}`);
    for (const event of playScenario(scenario)) logger.take(event);
    expect(named.list()[0].text).toContain(`from Station ${SHIP} to Station ${COAST}`);
    // Both logs have both calls by when they began: 20 dots at 1200 Bd before the phasing of a received one.
    for (const i of [0, 1]) {
      const lag = Math.abs(log.list()[i].time - other.list()[i].time);
      expect(lag).toBeLessThan(20 + (1000 * 20) / 1200);
    }
    expect(log.list()[0].acknowledgedAt).toBe(log.list()[1].time);
    expect(other.list()[0].acknowledgedAt).toBe(other.list()[1].time);
  });

  it('logs a sending that is broken off as stopped', () => {
    const log = createMemoryLog({ clock: () => 0 });
    const logger = stationLogger(log, { own: SHIP, start: START });
    const sending = { type: 'sending', station: SHIP, exchange: 1, call: test, repeat: 1 } as const;
    const at = Date.parse(START);
    const rule = { id: 'x', text: '', source: '' } as never;
    for (const [time, frequencyHz] of [
      [at, VHF],
      [at + 1000, MF],
    ]) {
      logger.take({ ...sending, time, frequencyHz, seconds: 6.4, rule });
    }
    logger.take({ type: 'ceased', station: SHIP, time: at + 2000, exchange: 1, call: test, frequencyHz: MF });
    logger.take({ ...sending, time: at + 60_000, frequencyHz: MF, seconds: 6.4, rule });
    logger.breakOff(at + 61_000);
    expect(log.list().map(({ stopped }) => stopped)).toEqual([undefined, true, true]);
  });

  it('plays long traffic of several stations', () => {
    const rounds = sized(1, 2);
    const calls: Call[] = [
      test,
      routine,
      { kind: 'positionRequest', to: { station: SHIP }, self: COAST },
      { kind: 'pollingRequest', to: { station: OTHER }, self: COAST },
      { ...routine, kind: 'safetyCall', to: 'allShips', self: COAST },
      { ...test, self: OTHER },
    ];
    const events = Array.from({ length: 6 * rounds }, (_, i): ScenarioEvent => {
      const call = calls[i % calls.length];
      return {
        at: 20 + i * 296,
        station: (call as { self: string }).self,
        do: 'call',
        call,
        frequencyHz: VHF,
      };
    });
    const stations = [SHIP, OTHER, COAST].map((identity) =>
      station(identity, { automatic: ['test', 'position', 'polling'] }),
    );
    const happened = playScenario(
      exchange(test, station(COAST), { stations, events, durationSeconds: 1800 * rounds }),
    );
    const calling = happened.filter((each) => each.type === 'sending');
    // Each round has six calls, five of which are answered.
    expect(calling).toHaveLength(rounds * (6 + 5));
    const answered = happened.filter(
      (each) =>
        each.type === 'action' &&
        each.action.type === 'phase' &&
        each.action.to === 'answered' &&
        each.action.kind === 'outgoing',
    );
    expect(answered).toHaveLength(rounds * 5);
  });
});

describe('the scenarios of the package', () => {
  const playedBefore = new Map<string, readonly SimulationEvent[]>();
  /** What happens in a scenario of the package, played once for all tests. */
  function played(name: keyof typeof SCENARIOS): readonly SimulationEvent[] {
    const happened = playedBefore.get(name) ?? playScenario(SCENARIOS[name]);
    playedBefore.set(name, happened);
    return happened;
  }

  const story = (name: keyof typeof SCENARIOS) => {
    const scenario = SCENARIOS[name];
    const begin = Date.parse(scenario.start);
    return played(name).flatMap((each) => {
      const at = ((each.time - begin) / 1000).toFixed(0);
      if (each.type === 'sending') return [`${at} ${each.station} sends ${each.call.kind}`];
      if (each.type === 'voice') return [`${at} ${each.station} speaks`];
      if (each.type !== 'action' || each.action.type !== 'phase' || each.station !== scenario.own) return [];
      return [`${at} ${each.action.kind} ${each.action.to}`];
    });
  };

  it('show a test call answered on the second attempt', () => {
    const told = story('second-attempt').filter((line) => !line.includes('299000222'));
    expect(told.filter((line) => line.includes('outgoing'))).toEqual([
      '5 outgoing sending',
      '11 outgoing awaiting',
      '71 outgoing unanswered',
      expect.stringMatching(/^7\d outgoing sending$/),
      expect.stringMatching(/^8\d outgoing awaiting$/),
      expect.stringMatching(/^9\d outgoing answered$/),
    ]);
  });

  it('show a distress attempt with its acknowledgement and its cancellation', () => {
    const told = story('false-alert');
    expect(told.filter((line) => line.includes('sends') || line.includes('distress'))).toEqual([
      '5 distress sending',
      '5 299000111 sends distressAlert',
      '41 distress waiting',
      expect.stringMatching(/^7\d 002990001 sends distressAcknowledgement$/),
      expect.stringMatching(/^8\d distress acknowledged$/),
      '130 distress cancelling',
      '130 299000111 sends ownAlertCancellation',
      '139 distress cancelled',
    ]);
    expect(told.at(-2)).toMatch(/^14\d 299000111 speaks$/);
  });

  // All stations three times, name three times, identity, position: FCC80 §80.335, RR 32.53A to 32.53F (from memory).
  it('cancel by voice', () => {
    const words = played('false-alert').flatMap((each) =>
      each.type === 'voice' && each.station === '299000111' ? [each.text] : [],
    );
    expect(words.at(-1)).toBe(
      'All stations, all stations, all stations, this is Grey Petrel, Grey Petrel, Grey Petrel, call sign ZZ9GP, ' +
        'MMSI 299 000 111, position 47°12′N 014°06′W. Please cancel my distress alert of 03:20 UTC.',
    );
  });

  it('acknowledge an alert that is sent again by hand, after the end of the second attempt', () => {
    const scenario = structuredClone<Scenario>(SCENARIOS['false-alert']);
    const events: ScenarioEvent[] = [
      scenario.events[0],
      { at: 60, station: scenario.own, do: 'choose', choice: 'resend' },
    ];
    const happened = playScenario({ ...scenario, events, durationSeconds: 400 });
    const begin = Date.parse(scenario.start);
    const sendings = happened.flatMap((each) =>
      each.type === 'sending' ? [[each.call.kind, (each.time - begin) / 1000] as const] : [],
    );
    expect(sendings.map(([kind]) => kind)).toEqual([
      'distressAlert',
      'distressAlert',
      'distressAcknowledgement',
    ]);
    // Two attempts of 36.0 s (JP567), from 5 and 60 s on; M541-8 Annex 1 §3.3.2: within 2 3/4 min of the first.
    expect(sendings[2][1]).toBeGreaterThan(96);
    expect(sendings[2][1]).toBeLessThan(5 + 165);
    expect(phases(happened, scenario.own, 'distress')).toEqual([
      'sending',
      'waiting',
      'sending',
      'waiting',
      'acknowledged',
    ]);
  });

  it('let one station speak at a time on a frequency', () => {
    const spoken = played('medical-advice').flatMap((each) => (each.type === 'voice' ? [each] : []));
    const frequencies = [...new Set(spoken.map(({ frequencyHz }) => frequencyHz))];
    const overlapping = frequencies.flatMap((hz) => {
      const own = spoken.filter(({ frequencyHz }) => frequencyHz === hz);
      return own.slice(1).filter(({ time }, i) => time < own[i].time + own[i].seconds * 1000);
    });
    expect(overlapping).toEqual([]);
    expect(spoken.length).toBeGreaterThan(frequencies.length + 2);
  });

  it('show an urgency call to an area with replies', () => {
    const told = story('medical-advice');
    expect(told.filter((line) => line.includes('sends')).map((line) => line.replace(/^\d+ /, ''))).toEqual([
      '299000111 sends urgencyCall',
      '002990001 sends urgencyCall',
      '299000111 sends urgencyAcknowledgement',
    ]);
    const replies = told.filter((line) => /(299000333|002990001) speaks/.test(line));
    expect(replies.length).toBeGreaterThanOrEqual(2);
    expect(told.some((line) => line.includes('299000444'))).toBe(false);
  });

  it.each<[keyof typeof SCENARIOS, string[]]>([
    ['routine-call', ['299000111 routineCall 8415', '002990001 routineAcknowledgement 8436.5']],
    ['group-call', ['299000111 routineCall 8415']],
    ['area-urgency', ['299000111 urgencyCall 12577']],
    [
      'silent-attempt',
      ['299000111 testCall 8414.5', '299000111 testCall 8414.5', '002990001 testAcknowledgement 8414.5'],
    ],
    ['one-frequency', ['299000111 distressAlert 2187.5', '002990001 distressAcknowledgement 2187.5']],
    [
      'six-frequencies',
      [
        ...[2187.5, 4207.5, 6312, 8414.5, 12577, 16804.5].map((kHz) => `299000111 distressAlert ${kHz}`),
        '002990001 distressAcknowledgement 12577',
      ],
    ],
    [
      'coast-relay',
      [
        '299000222 distressAlert 156525',
        '002990001 distressAcknowledgement 156525',
        '002990001 distressRelay 2187.5',
      ],
    ],
    [
      'position-request',
      [
        '002990001 positionRequest 2187.5',
        '299000333 positionReport 2187.5',
        '002990001 positionRequest 2187.5',
        '299000111 positionReport 2187.5',
      ],
    ],
    ['medical-transport', ['299000111 urgencyCall 2187.5']],
  ])('play %s', (scenarioName, expected) => {
    const happened = played(scenarioName);
    const sendings = happened.flatMap((each) =>
      each.type === 'sending' ? [`${each.station} ${each.call.kind} ${each.frequencyHz / 1000}`] : [],
    );
    expect(sendings).toEqual(expected);
    expect(happened.filter(({ type }) => type === 'skipped')).toEqual([]);
    // What is announced or acknowledged is spoken, except where nothing follows.
    const isSpoken = !['silent-attempt', 'position-request'].includes(scenarioName);
    expect(voices(happened).length > 0).toBe(isSpoken);
    expect(voices(happened).join(' ')).not.toContain('Nobody hears this');
  });

  it('keep to the form of scenarios, and name nobody real', () => {
    for (const scenario of Object.values(SCENARIOS)) {
      expect(parseScenario(structuredClone(scenario))).toEqual(scenario);
      const text = JSON.stringify(scenario);
      for (const [identity] of text.matchAll(/(?<=")\d{9}(?=")/g)) expect(identity).toMatch(/^0{0,2}299/);
    }
  });
});

describe('the form of a scenario', () => {
  const good: unknown = structuredClone(SCENARIOS['second-attempt']);
  const changed = (change: (scenario: Record<string, never>) => void): unknown => {
    const copy = structuredClone(good) as Record<string, never>;
    change(copy);
    return copy;
  };
  const validate = new Ajv2020({ strict: false, validateFormats: false }).compile(scenarioJsonSchema());

  it('fits its schema, in the package and elsewhere', () => {
    for (const scenario of Object.values(SCENARIOS)) {
      expect(parseScenario(structuredClone(scenario))).toEqual(scenario);
      expect(validate(scenario)).toBe(true);
    }
  });

  type Loose = Record<string, never> & {
    stations: Record<string, unknown>[];
    events: Record<string, unknown>[];
    paths: Record<string, unknown>[];
  };
  it.each<[string, (scenario: Loose) => void, boolean]>([
    [
      'scenario.title',
      (s) => {
        (s as Record<string, unknown>).title = '';
      },
      false,
    ],
    [
      'scenario.start',
      (s) => {
        (s as Record<string, unknown>).start = 'noon';
      },
      false,
    ],
    [
      'scenario.durationSeconds',
      (s) => {
        (s as Record<string, unknown>).durationSeconds = 1e9;
      },
      false,
    ],
    [
      'scenario.own',
      (s) => {
        (s as Record<string, unknown>).own = '299999999';
      },
      true,
    ],
    [
      'scenario.folder',
      (s) => {
        (s as Record<string, unknown>).folder = '../..';
      },
      false,
    ],
    [
      'scenario.stations[1].behaviour',
      (s) => {
        s.stations[1].behaviour = 'grumpy';
      },
      false,
    ],
    [
      'scenario.stations[1].identity',
      (s) => {
        s.stations[1].identity = s.stations[0].identity;
      },
      true,
    ],
    [
      'scenario.stations[0].watch',
      (s) => {
        s.stations[0].watch = [];
      },
      false,
    ],
    [
      'scenario.stations[0].watch[0]',
      (s) => {
        s.stations[0].watch = [5];
      },
      false,
    ],
    [
      'scenario.stations[0].reactionSeconds',
      (s) => {
        s.stations[0].reactionSeconds = [9, 1];
      },
      true,
    ],
    [
      'scenario.paths[0].to',
      (s) => {
        s.paths[0].to = '299999999';
      },
      true,
    ],
    [
      'scenario.paths[0].fading',
      (s) => {
        s.paths[0].fading = 'bad';
      },
      false,
    ],
    [
      'scenario.paths[0].stages[0].delayMs',
      (s) => {
        s.paths[0].stages = [{ kind: 'delay', delayMs: -1 }];
      },
      true,
    ],
    [
      'scenario.events[0].do',
      (s) => {
        s.events[0].do = 'explode';
      },
      false,
    ],
    [
      'scenario.events[0].station',
      (s) => {
        s.events[0].station = '299999999';
      },
      true,
    ],
    [
      'scenario.events[0].at',
      (s) => {
        s.events[0].at = -1;
      },
      false,
    ],
    [
      'scenario.events[0].call.to.station',
      (s) => {
        s.events[0].call = { kind: 'testCall', to: { station: 'x' }, self: SHIP };
      },
      true,
    ],
    [
      'scenario.events[0].call.kind',
      (s) => {
        s.events[0].call = { kind: 'party' };
      },
      true,
    ],
  ])('is refused at %s', (field, change, schemaAccepts) => {
    const bad = changed(change as never);
    expect(() => parseScenario(bad)).toThrow(DotphaseError);
    expect(() => parseScenario(bad)).toThrow(expect.objectContaining({ field }) as Error);
    // What a schema cannot say, such as which identities there are, only the check finds.
    expect(validate(bad)).toBe(schemaAccepts);
  });

  it.each([null, 5, 'x', [], {}])('is refused altogether: %j', (value) => {
    expect(() => parseScenario(value)).toThrow(DotphaseError);
  });
});

describe('a virtual operator', () => {
  // FCC80 §80.1117(a): on VHF a ship relays an alert only where the master finds further help necessary.
  it('does not ask again and again for a relay that needs what it cannot confirm', () => {
    const relay: Call = {
      kind: 'distressRelay',
      to: { station: COAST },
      self: SHIP,
      casualty: OTHER,
      nature: 'fire',
      position: 'none',
      time: 'none',
      followOn: 'f3e',
    };
    const happened = playScenario(
      exchange(relay, station(COAST, { behaviour: 'silent' }), {
        durationSeconds: 100,
        stations: [
          station(SHIP, { attempts: 3 }),
          station(COAST, { behaviour: 'silent' }),
          station(OTHER, { attempts: 1 }),
        ],
        events: [
          { at: 1, station: SHIP, do: 'call', call: relay, frequencyHz: VHF },
          { at: 10, station: OTHER, do: 'distress', nature: 'fire', followOn: 'f3e', frequencies: [VHF] },
        ],
      }),
    );
    expect(phases(happened, SHIP)).toContain('unanswered');
    expect(sent(happened).filter((line) => line.endsWith(`${SHIP} distressRelay`))).toHaveLength(1);
    const refused = happened.filter((each) => each.type === 'action' && each.action.type === 'refuse');
    expect(refused).toEqual([]);
  });
});
