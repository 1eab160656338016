/**
 * Both sides within the page: a vessel calls, what lies between does its worst, the coast station answers.
 */
import { describeCall, describeReceived, type Band, type Call, type ReceivedCall } from 'dotphase';
import { CHANNEL_PRESETS, applyChannel, channelPreset, type ChannelPresetName } from 'dotphase/channel';
import { useEffect, useRef, useState } from 'preact/hooks';
import { play, type Playing } from '../audio/player.js';
import { PLAYED_RATE, airSequence, soundOf } from '../compose/sound.js';
import { openEar } from '../listen/ear.js';
import { logSent, receptionLog } from '../log/store.js';
import { TransmitCaution } from '../parts/cautions.js';
import { SelectField, Tick } from '../parts/fields.js';
import { STATION, answerTo } from './station.js';
import { Timeline, type Moment } from './timeline.js';

/** An invented vessel; MID 299 is allotted to nobody. */
const VESSEL = '299123456';
const TEST_CALL: Call = { kind: 'testCall', to: { station: STATION }, self: VESSEL };

type Between = 'nothing' | ChannelPresetName;

/** On VHF only noise lies between: the others are what happens on MF and HF. */
const VHF_BETWEEN: readonly Between[] = ['nothing', 'clear', 'weak'];

function betweenChoices(band: Band): { value: Between; text: string }[] {
  const presets = Object.entries(CHANNEL_PRESETS).map(([name, { title }]) => ({
    value: name as Between,
    text: title ?? name,
  }));
  return [{ value: 'nothing' as const, text: 'nothing: a cable' }, ...presets].filter(
    ({ value }) => band === 'mf-hf' || VHF_BETWEEN.includes(value),
  );
}

const SILENCE_SECONDS = 0.4;

/** The sound with a little silence around it, so that the noise is heard before and after. */
function withSilence(sound: Float32Array): Float32Array<ArrayBuffer> {
  const silence = Math.round(SILENCE_SECONDS * PLAYED_RATE);
  const padded = new Float32Array(sound.length + 2 * silence);
  padded.set(sound, silence);
  return padded;
}

function impair(sound: Float32Array<ArrayBuffer>, between: Between, seed: number): Float32Array<ArrayBuffer> {
  if (between === 'nothing') return sound;
  const options = { ...channelPreset(between), sampleRate: PLAYED_RATE, seed };
  return applyChannel(sound, options) as Float32Array<ArrayBuffer>;
}

interface Settings {
  readonly band: Band;
  readonly between: Between;
  readonly isAudible: boolean;
  readonly delay: number;
  readonly seed: number;
  readonly stopped: () => boolean;
  readonly onPlaying: (playing: Playing) => void;
}

/** Sends a call and gives what the other side heard, and how many seconds the sound lasted. */
async function carry(call: Call, settings: Settings): Promise<{ heard: ReceivedCall[]; seconds: number }> {
  const { band, between, isAudible, seed } = settings;
  const sound = impair(withSilence(soundOf(airSequence(call, band))), between, seed);
  const seconds = sound.length / PLAYED_RATE;
  const heard: ReceivedCall[] = [];
  const ear = openEar({
    sampleRate: PLAYED_RATE,
    bands: [band],
    onCall: (received) => heard.push(received),
    onFailure: () => undefined,
  });
  const playing = isAudible ? await play(sound, PLAYED_RATE) : undefined;
  void logSent(call, {}, playing?.over);
  if (playing) settings.onPlaying(playing);
  ear.push(sound);
  await Promise.all([ear.end(), playing?.over]);
  return { heard, seconds };
}

const pause = (seconds: number) =>
  new Promise((resolve) => {
    setTimeout(resolve, 1000 * seconds);
  });

/** Runs the exchange and tells each moment of it, timed as it would be on the air. */
async function exchange(settings: Settings, tell: (moment: Omit<Moment, 'id'>) => void): Promise<void> {
  let seconds = 0;
  const add = (side: Moment['side'], title: string, text: string, received?: ReceivedCall) => {
    tell({ side, title, text, when: `after ${seconds.toFixed(1)} s`, ...(received && { received }) });
  };
  const send = async (side: Moment['side'], title: string, call: Call) => {
    add(side, title, describeCall(call));
    const carried = await carry(call, { ...settings, seed: settings.seed + Math.round(seconds) });
    seconds += carried.seconds;
    return carried.heard;
  };
  const hear = (side: Moment['side'], title: string, received: ReceivedCall) => {
    add(side, title, describeReceived(received), received);
    // Each call goes its own way, and is nobody's second sending.
    void receptionLog()(received);
  };

  const atStation = await send('ship', 'The vessel calls', TEST_CALL);
  if (settings.stopped()) return;
  if (atStation.length === 0) add('station', 'The station hears nothing', 'The call was lost on the way.');
  for (const received of atStation) {
    hear('station', 'The station hears', received);
    const verdict = answerTo(received, STATION);
    if (verdict.type === 'silent') {
      add('station', 'No answer', verdict.reason);
      continue;
    }
    if (settings.isAudible) await pause(settings.delay);
    if (settings.stopped()) return;
    seconds += settings.delay;
    const atVessel = await send('station', 'The station answers', verdict.call);
    if (settings.stopped()) return;
    if (atVessel.length === 0) add('ship', 'The vessel hears nothing', 'The answer was lost on the way.');
    for (const answer of atVessel) hear('ship', 'The vessel hears', answer);
  }
}

export function InPage({ delay }: { delay: number }) {
  const [band, setBand] = useState<Band>('mf-hf');
  const [between, setBetween] = useState<Between>('clear');
  const [isAudible, setAudible] = useState(true);
  const [moments, setMoments] = useState<readonly Moment[]>([]);
  const [isRunning, setRunning] = useState(false);
  const run = useRef(0);
  const playing = useRef<Playing>(undefined);

  function stop(): void {
    run.current++;
    playing.current?.stop();
    setRunning(false);
  }
  useEffect(() => stop, []);

  async function start(): Promise<void> {
    const mine = ++run.current;
    setMoments([]);
    setRunning(true);
    const settings: Settings = {
      band,
      between,
      isAudible,
      delay,
      seed: mine,
      stopped: () => run.current !== mine,
      onPlaying(started) {
        playing.current = started;
      },
    };
    await exchange(settings, (moment) => {
      setMoments((before) => [...before, { id: before.length, ...moment }]);
    });
    if (run.current === mine) setRunning(false);
  }

  return (
    <>
      <div class="settings">
        <SelectField<Band>
          label="Radio"
          value={band}
          onValue={(chosen) => {
            setBand(chosen);
            if (chosen === 'vhf' && !VHF_BETWEEN.includes(between)) setBetween('clear');
          }}
          choices={[
            { value: 'mf-hf', text: 'MF/HF' },
            { value: 'vhf', text: 'VHF channel 70' },
          ]}
        />
        <SelectField
          label="Between the two"
          value={between}
          onValue={setBetween}
          choices={betweenChoices(band)}
        />
      </div>
      <Tick label="Let me hear it, as long as it takes on the air" checked={isAudible} onValue={setAudible} />
      {isAudible && <TransmitCaution priority="test call" />}
      <p class="actions">
        {isRunning ? (
          <button type="button" class="main" onClick={stop}>
            Stop
          </button>
        ) : (
          <button type="button" class="main" onClick={() => void start()}>
            Send the test call
          </button>
        )}
      </p>
      <Timeline moments={moments} />
    </>
  );
}
