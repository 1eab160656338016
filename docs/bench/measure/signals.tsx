/**
 * Signals for the bench: steady tones, dots, phasing, calls at an exact interval and calls with one fault.
 */
import { BIT_RATE, DotphaseError, describeCall, parseIdentity, type Band, type Call } from 'dotphase';
import { createWavWriter } from 'dotphase/wav';
import type { BenchSignal, CharacterFault } from 'dotphase/transmitter';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { openStream, type Stream } from '../audio/player.js';
import { compose, FIRST_DRAFT, type Draft } from '../compose/draft.js';
import { PLAYED_RATE } from '../compose/sound.js';
import { priorityOf } from '../exchange/say.js';
import { NoTransmitterTick, TransmitCaution } from '../parts/cautions.js';
import { SelectField, TextField } from '../parts/fields.js';
import { kept, useKept } from '../parts/kept.js';
import { saveFile } from '../parts/save.js';
import { benchAudio, highestLevelDb, lengthOf, type Air, type Sent } from './benchaudio.js';

type Kind = BenchSignal | 'call' | 'wrong-check' | 'wrong-character';

const KINDS: readonly {
  readonly title: string;
  readonly choices: readonly { value: Kind; text: string }[];
}[] = [
  {
    title: 'Without an end',
    choices: [
      { value: 'b', text: 'The tone of B' },
      { value: 'y', text: 'The tone of Y' },
      { value: 'dots', text: 'Dots: B and Y in turn' },
      { value: 'phasing', text: 'Phasing characters in DX and RX' },
    ],
  },
  {
    title: 'Over and over',
    choices: [
      { value: 'call', text: 'A call' },
      { value: 'wrong-check', text: 'A call with a wrong error check' },
      { value: 'wrong-character', text: 'A call with a wrong ten-unit character' },
    ],
  },
];

interface SignalsDraft {
  kind: Kind;
  band: Band;
  callFrom: 'test' | 'composed';
  from: string;
  to: string;
  every: string;
  character: string;
  position: CharacterFault['position'];
  levelDb: string;
  bOverYDb: string;
  noise: 'none' | 'some';
  snrDb: string;
  seconds: string;
  times: string;
}

const FIRST: SignalsDraft = {
  kind: 'b',
  band: 'mf-hf',
  callFrom: 'test',
  from: '002991234',
  to: '299123456',
  every: '15',
  character: '5',
  position: 'RX',
  levelDb: '-6',
  bOverYDb: '0',
  noise: 'none',
  snrDb: '20',
  seconds: '60',
  times: '6',
};

type Complaints = Partial<Record<keyof SignalsDraft, string>>;

interface Made {
  readonly sent: Sent | undefined;
  readonly air: Air;
  /** Seconds of a file. */
  readonly seconds: number;
  readonly complaints: Complaints;
}

const isCallKind = (kind: Kind) => kind === 'call' || kind === 'wrong-check' || kind === 'wrong-character';

/** The call that stands in Compose. */
function composedCall(): Call | undefined {
  return compose({ ...FIRST_DRAFT, ...kept('draft', (text) => JSON.parse(text) as Partial<Draft>) }).call;
}

/** What the form makes, and what is wrong with it. */
function make(draft: SignalsDraft): Made {
  const complaints: Complaints = {};
  const complain = (field: keyof SignalsDraft, expected: string) => {
    complaints[field] = `Expected ${expected}.`;
  };
  const number = (field: keyof SignalsDraft, lowest: number, highest: number, unit: string): number => {
    const text = draft[field].trim().replace('−', '-').replace(',', '.');
    const value = Number(text);
    if (text !== '' && value >= lowest && value <= highest) return value;
    complain(
      field,
      `a number from ${String(lowest).replace('-', '−')} to ${highest}${unit === '' ? '' : ` ${unit}`}`,
    );
    return NaN;
  };
  const identity = (field: 'from' | 'to'): string | undefined => {
    try {
      return parseIdentity(draft[field]);
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      complain(field, error.expected);
      return undefined;
    }
  };
  const { kind, band } = draft;
  const air: Air = {
    band,
    sampleRate: PLAYED_RATE,
    levelDb: number('levelDb', -100, 0, 'dB'),
    bOverYDb: number('bOverYDb', -40, 40, 'dB'),
    snrDb: draft.noise === 'none' ? undefined : number('snrDb', -30, 60, 'dB'),
  };
  let sent: Sent | undefined;
  let seconds: number;
  if (!isCallKind(kind)) {
    sent = { kind: 'signal', signal: kind };
    seconds = number('seconds', 1, 600, 's');
  } else {
    const every = number('every', 0.1, 3600, 's');
    seconds = number('times', 1, 100, '') * every;
    const call = draft.callFrom === 'composed' ? composedCall() : testCall(identity('from'), identity('to'));
    if (draft.callFrom === 'composed' && !call)
      complain('callFrom', 'a call in Compose; its form is not complete');
    const character = kind === 'wrong-character' ? number('character', 1, 1000, '') : undefined;
    if (call && Object.keys(complaints).length === 0) {
      sent = {
        kind: 'call',
        call,
        every,
        isCheckWrong: kind === 'wrong-check',
        wrongCharacter: character === undefined ? undefined : { character, position: draft.position },
      };
      try {
        const length = lengthOf(sent, band);
        if (length > every) complain('every', `at least ${length.toFixed(2)} s, the length of the call`);
        if (seconds > 600) complain('times', `so few that all of it lasts at most 600 s`);
      } catch (error) {
        if (!(error instanceof DotphaseError)) throw error;
        complain(error.field === 'character' ? 'character' : 'callFrom', error.expected);
      }
    }
  }
  if (sent && Object.keys(complaints).length === 0) {
    const most = Math.floor(10 * highestLevelDb(sent, air)) / 10;
    if (air.levelDb > most)
      complain(
        'levelDb',
        `at most ${String(most).replace('-', '−')} dB, for signal and noise together would clip`,
      );
  }
  return { sent: Object.keys(complaints).length === 0 ? sent : undefined, air, seconds, complaints };
}

function testCall(self: string | undefined, station: string | undefined): Call | undefined {
  return self === undefined || station === undefined
    ? undefined
    : { kind: 'testCall', self, to: { station } };
}

/** So much of the sound waits to be played, also while the page is in the background. */
const AHEAD_SECONDS = 2.5;
const PUMP_MS = 100;

/** Plays a signal until it is stopped. */
async function playEndless(audio: Iterator<Float32Array<ArrayBuffer>>): Promise<() => void> {
  const stream: Stream = await openStream(PLAYED_RATE);
  const pump = () => {
    while (stream.ahead() < AHEAD_SECONDS) {
      const next = audio.next();
      if (next.done) return;
      stream.push(next.value);
    }
  };
  pump();
  const timer = setInterval(pump, PUMP_MS);
  return () => {
    clearInterval(timer);
    stream.close();
  };
}

/** Exactly so many samples of a signal. */
function* cutTo(
  audio: Iterable<Float32Array<ArrayBuffer>>,
  samples: number,
): Generator<Float32Array<ArrayBuffer>> {
  let left = samples;
  for (const block of audio) {
    yield left < block.length ? block.slice(0, left) : block;
    left -= block.length;
    if (left <= 0) return;
  }
}

function wavOf(audio: Iterable<Float32Array<ArrayBuffer>>): Uint8Array<ArrayBuffer>[] {
  const writer = createWavWriter({ sampleRate: PLAYED_RATE });
  const parts = [...audio].map((block) => writer.push([block]));
  const { tail, header } = writer.end();
  return [header, ...parts, tail] as Uint8Array<ArrayBuffer>[];
}

const sayDb = (db: number) => `${db.toFixed(1).replace('-', '−')} dB`;

/** What goes out, in a sentence. */
function saySent(sent: Sent, { band, levelDb, bOverYDb, snrDb }: Air): string {
  const rate = `at ${BIT_RATE[band]} Bd`;
  const hz = { 'mf-hf': { b: 1785, y: 1615 }, vhf: { b: 2100, y: 1300 } }[band];
  const what = () => {
    if (sent.kind === 'call') {
      const fault = sent.isCheckWrong
        ? ' with an error check that disagrees'
        : sent.wrongCharacter
          ? ` with a ten-unit character that disagrees: number ${sent.wrongCharacter.character} in ${sent.wrongCharacter.position === 'both' ? 'DX and RX' : sent.wrongCharacter.position}`
          : '';
      return `${describeCall(sent.call)} Every ${sent.every} s ${rate}${fault}`;
    }
    switch (sent.signal) {
      case 'b':
        return `The tone of B, ${hz.b} Hz`;
      case 'y':
        return `The tone of Y, ${hz.y} Hz`;
      case 'dots':
        return `Dots ${rate}`;
      case 'phasing':
        return `Phasing characters ${rate}`;
    }
  };
  const balance =
    bOverYDb === 0 ? '' : `, B ${sayDb(Math.abs(bOverYDb))} ${bOverYDb > 0 ? 'over' : 'below'} Y`;
  const noise = snrDb === undefined ? '' : `, in noise ${sayDb(snrDb)} below it in 3 kHz`;
  return `${what()}; peak ${sayDb(levelDb)} of full scale${balance}${noise}.`;
}

export function BenchSignals() {
  const [draft, setDraft] = useKept('bench signals', FIRST);
  const [said, setSaid] = useState('');
  const [stop, setStop] = useState<() => void>();
  const [isSafe, setSafe] = useState(false);
  const section = useRef<HTMLElement>(null);
  const playing = useRef<() => void>(undefined);
  const made = useMemo(() => make(draft), [draft]);
  const { sent, air, complaints } = made;
  const isCall = isCallKind(draft.kind);
  const halt = () => {
    playing.current?.();
    playing.current = undefined;
    setStop(undefined);
  };
  const change = (part: Partial<SignalsDraft>) => {
    // What is said is what sounds: a change ends the sound of before.
    halt();
    setDraft((before) => ({ ...before, ...part }));
  };
  const text = (field: keyof SignalsDraft, label: string, size = 8) => (
    <TextField
      label={label}
      numeric
      size={size}
      value={draft[field]}
      complaint={complaints[field]}
      onValue={(value) => {
        change({ [field]: value });
      }}
    />
  );
  useEffect(() => {
    const follow = () => {
      if (!location.hash.startsWith('#measure')) halt();
      if (location.hash === '#measure/signals')
        setTimeout(() => {
          section.current?.scrollIntoView();
          section.current?.focus({ preventScroll: true });
        });
    };
    follow();
    addEventListener('hashchange', follow);
    return () => {
      removeEventListener('hashchange', follow);
      halt();
    };
  }, []);
  const priority = sent?.kind === 'call' ? priorityOf(sent.call) : undefined;
  const isGrave = priority === 'distress' || priority === 'urgency';
  const start = async () => {
    if (!sent) return;
    try {
      playing.current = await playEndless(benchAudio(sent, air));
      setStop(() => halt);
      setSaid('');
    } catch (error) {
      setSaid(error instanceof Error ? error.message : String(error));
    }
  };
  const save = () => {
    if (!sent) return;
    const name = `${draft.kind}-${draft.band}.wav`;
    const parts = wavOf(cutTo(benchAudio(sent, air), Math.round(made.seconds * PLAYED_RATE)));
    saveFile(name, new Blob(parts), 'audio/wav');
    setSaid(`Saved as ${name}, ${made.seconds.toFixed(0)} s.`);
  };
  return (
    <section class="bench-signals" ref={section} tabIndex={-1} aria-labelledby="bench-signals">
      <h2 id="bench-signals">Signals to adjust by</h2>
      <p class="reading">
        For a demodulator, a modulator’s input or a set’s receiver, on a cable or a dummy load.
      </p>
      <div class="pair">
        <SelectField
          label="Signal"
          value={draft.kind}
          onValue={(kind) => {
            change({ kind });
          }}
          groups={KINDS}
        />
        <SelectField
          label="Band"
          value={draft.band}
          onValue={(band) => {
            change({ band });
          }}
          choices={[
            { value: 'mf-hf', text: 'MF/HF, 100 Bd' },
            { value: 'vhf', text: 'VHF channel 70, 1200 Bd' },
          ]}
        />
        {text('levelDb', 'Peak level, dB of full scale')}
        {text('bOverYDb', 'B over Y, dB')}
        <SelectField
          label="Noise"
          value={draft.noise}
          onValue={(noise) => {
            change({ noise });
          }}
          choices={[
            { value: 'none', text: 'None' },
            { value: 'some', text: 'At a ratio in 3 kHz' },
          ]}
        />
        {draft.noise === 'some' && text('snrDb', 'Signal to noise, dB')}
      </div>
      {isCall && (
        <div class="pair">
          <SelectField
            label="Call"
            value={draft.callFrom}
            complaint={complaints.callFrom}
            onValue={(callFrom) => {
              change({ callFrom });
            }}
            choices={[
              { value: 'test', text: 'A test call' },
              { value: 'composed', text: 'The one in Compose' },
            ]}
          />
          {draft.callFrom === 'test' && (
            <>
              {text('from', 'From identity', 11)}
              {text('to', 'To identity', 11)}
            </>
          )}
          {text('every', 'From one beginning to the next, s')}
          {draft.kind === 'wrong-character' && (
            <>
              {text('character', 'Wrong character, from 1: the first format specifier')}
              <SelectField
                label="Wrong in"
                value={draft.position}
                onValue={(position) => {
                  change({ position });
                }}
                choices={[
                  { value: 'DX', text: 'DX' },
                  { value: 'RX', text: 'RX' },
                  { value: 'both', text: 'DX and RX' },
                ]}
              />
            </>
          )}
        </div>
      )}
      <p class="sent-said" role="status">
        {sent ? saySent(sent, air) : 'Some field needs another look.'}
      </p>
      {priority !== undefined && <TransmitCaution priority={priority} />}
      {isGrave && <NoTransmitterTick checked={isSafe} onValue={setSafe} />}
      <div class="actions">
        {stop ? (
          <button type="button" class="main" onClick={stop}>
            Stop the signal
          </button>
        ) : (
          <button
            type="button"
            class="main"
            disabled={!sent || (isGrave && !isSafe)}
            onClick={() => void start()}
          >
            Play without an end
          </button>
        )}
        <button type="button" disabled={!sent} onClick={save}>
          Save WAV
        </button>
        {isCall ? text('times', 'In the file: so many times') : text('seconds', 'In the file: seconds')}
        <span class="said" role="status">
          {said}
        </span>
      </div>
    </section>
  );
}
