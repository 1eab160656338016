/**
 * The virtual stations on a thread of their own, in real time: what the own station does in, what happens and what is
 * heard out.
 */
import { policy } from '../policy.js';
import { createReceiver, type Receiver, type ReceiverEvent } from 'dotphase';
import { createPlay, type ScenarioPlay } from 'dotphase/simulation';
import { radioOf } from 'dotphase/procedures';
import { createLiveReader, type LiveReader } from '../listen/livereader.js';
import type { FromVirtual, ToVirtual } from './virtualprotocol.js';

const SAMPLE_RATE = 8000;
/** Milliseconds between two looks at what happened. */
const STEP_MS = 50;

const tell = (message: FromVirtual) => {
  postMessage(message);
};

let play: ScenarioPlay | undefined;
let own = '';
let tunedHz = 0;
/** What reads the characters of the tuned frequency while they come in. */
let monitor: { readonly receiver: Receiver; readonly reader: LiveReader } | undefined;
/** Until when the own station sends, milliseconds on the scenario's clock. */
let sendingUntil = 0;
let begun = 0;

function openMonitor(): void {
  const reader = createLiveReader(SAMPLE_RATE, (reading) => {
    tell({ type: 'reading', reading });
  });
  const onEvent = (event: ReceiverEvent) => {
    reader.event(event);
  };
  const bands = [radioOf(tunedHz)];
  monitor = {
    receiver: createReceiver({ sampleRate: SAMPLE_RATE, bands, centreHz: 1700, searchHz: 60, onEvent }),
    reader,
  };
}

function hear(frequencyHz: number, samples: Float32Array): void {
  if (frequencyHz !== tunedHz) return;
  if (monitor) {
    const heard = play && play.now < sendingUntil ? new Float32Array(samples.length) : samples;
    const calls = monitor.receiver.push(heard);
    monitor.reader.push(heard);
    for (const call of calls) monitor.reader.call(call);
  }
  tell({ type: 'audio', samples: samples.slice() });
}

function step(happenings = play?.advance(Math.max(play.now, begun + performance.now())) ?? []): void {
  if (!play) return;
  for (const happening of happenings) {
    if (happening.station !== own) continue;
    if (happening.type === 'sending') sendingUntil = happening.time + 1000 * happening.seconds + 100;
    if (happening.type === 'ceased') sendingUntil = happening.time;
  }
  if (happenings.length > 0) tell({ type: 'happened', happenings, state: play.state(own) });
}

function handle(message: ToVirtual): void {
  switch (message.type) {
    case 'open': {
      const { scenario } = message;
      own = scenario.own;
      play = createPlay(scenario, { manual: [own], sampleRate: SAMPLE_RATE, onAudio: hear });
      begun = play.now - performance.now();
      setInterval(() => {
        guarded(() => {
          step();
        });
      }, STEP_MS);
      tell({ type: 'happened', happenings: [], state: play.state(own) });
      return;
    }
    case 'tune':
      if (message.frequencyHz === tunedHz) return;
      tunedHz = message.frequencyHz;
      openMonitor();
      return;
    case 'conduct':
      step();
      step(play?.perform({ at: 0, station: message.station, do: 'behaviour', behaviour: message.behaviour }));
      return;
    case 'act':
    case 'actFor': {
      step();
      const station = message.type === 'act' ? own : message.station;
      step(play?.act(station, message.event));
    }
  }
}

function guarded(act: () => void): void {
  try {
    act();
  } catch (error) {
    tell({ type: 'failed', reason: error instanceof Error ? error.message : String(error) });
  }
}

if (policy.jitless) {
  addEventListener('message', ({ data }: MessageEvent<ToVirtual>) => {
    guarded(() => {
      handle(data);
    });
  });
}
