/**
 * The coast station on the microphone and the speaker: a radio on a dummy load calls, the page answers.
 */
import { describeCall, describeReceived, formatIdentity, type Band, type ReceivedCall } from 'dotphase';
import { useEffect, useRef, useState } from 'preact/hooks';
import { openCapture, sayRefusal, type Capture } from '../audio/capture.js';
import { play, type Playing } from '../audio/player.js';
import { PLAYED_RATE, airSequence, soundOf } from '../compose/sound.js';
import { ALL_BANDS, openEar, type Ear } from '../listen/ear.js';
import { logSent, receptionLog } from '../log/store.js';
import { Caution } from '../parts/cautions.js';
import { STATION, answerTo } from './station.js';
import { Timeline, type Moment } from './timeline.js';

function utc(): string {
  return `${new Date().toISOString().slice(11, 19)} UTC`;
}

function bandOf({ baud }: ReceivedCall): Band {
  return baud === 1200 ? 'vhf' : 'mf-hf';
}

function isOwn({ call }: ReceivedCall): boolean {
  return 'self' in call && call.self === STATION;
}

export function OnAir({ delay }: { delay: number }) {
  const [moments, setMoments] = useState<readonly Moment[]>([]);
  const [state, setState] = useState<'off' | 'opening' | 'listening'>('off');
  const [refusal, setRefusal] = useState('');
  const open = useRef<{ capture: Capture; ear: Ear }>(undefined);
  const timers = useRef(new Set<ReturnType<typeof setTimeout>>());
  const answering = useRef<Playing>(undefined);
  const log = useRef(receptionLog());
  const currentDelay = useRef(delay);
  currentDelay.current = delay;

  const add = (moment: Omit<Moment, 'id' | 'when'>) => {
    setMoments((before) => [...before, { id: before.length, when: utc(), ...moment }]);
  };

  async function answer(received: ReceivedCall): Promise<void> {
    const verdict = answerTo(received, STATION);
    if (verdict.type === 'silent') {
      add({ side: 'station', title: 'No answer', text: verdict.reason });
      return;
    }
    const sequence = airSequence(verdict.call, bandOf(received));
    const playing = await play(soundOf(sequence), PLAYED_RATE);
    answering.current = playing;
    add({ side: 'station', title: 'The station answers', text: describeCall(verdict.call) });
    void logSent(verdict.call, {}, playing.over);
  }

  function hear(received: ReceivedCall): void {
    if (isOwn(received)) return;
    add({ side: 'ship', title: 'Heard', text: describeReceived(received), received });
    void log.current(received);
    const isAnswered = answerTo(received, STATION).type === 'answer';
    const timer = setTimeout(
      () => {
        timers.current.delete(timer);
        void answer(received);
      },
      isAnswered ? 1000 * currentDelay.current : 0,
    );
    timers.current.add(timer);
  }

  function stop(): void {
    for (const timer of timers.current) clearTimeout(timer);
    timers.current.clear();
    answering.current?.stop();
    open.current?.capture.close();
    open.current?.ear.close();
    open.current = undefined;
    setState('off');
  }
  useEffect(() => stop, []);

  async function start(): Promise<void> {
    setState('opening');
    setRefusal('');
    setMoments([]);
    log.current = receptionLog();
    try {
      const capture = await openCapture(undefined, (samples) => open.current?.ear.push(samples));
      const { sampleRate } = capture;
      const ear = openEar({ sampleRate, bands: ALL_BANDS, onCall: hear, onFailure: setRefusal });
      open.current = { capture, ear };
      setState('listening');
    } catch (error) {
      setRefusal(sayRefusal(error));
      setState('off');
    }
  }

  return (
    <>
      <Caution title="Caution: keep this off the air">
        Connect the radio to a dummy load or by a cable, never to an antenna. The station here answers test
        calls alone, and it never acknowledges a distress alert.
      </Caution>
      <p>
        Call <b>{formatIdentity(STATION)}</b> with a test call. The page hears it on the microphone or line
        input and answers through the speaker after {delay} s.
      </p>
      <p class="actions">
        {state === 'listening' ? (
          <button type="button" class="main" onClick={stop}>
            Close the station
          </button>
        ) : (
          <button type="button" class="main" disabled={state === 'opening'} onClick={() => void start()}>
            Open the station
          </button>
        )}
        <span role="status">{state === 'listening' ? 'The station listens.' : ''}</span>
      </p>
      {refusal !== '' && (
        <p class="notice" role="alert">
          {refusal}
        </p>
      )}
      <Timeline moments={moments} />
    </>
  );
}
