/**
 * The virtual stations on a thread of their own, in real time: what the own station does in, what happens and what is
 * heard out.
 */
import { policy } from '../policy.js';
import { createPlay, type ScenarioPlay } from 'dotphase/simulation';
import { radioOf } from 'dotphase/procedures';
import { createMonitor, type Monitor } from './monitor.js';
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
let monitor: Monitor | undefined;
let begun = 0;

function hear(frequencyHz: number, samples: Float32Array, heard: Float32Array): void {
  if (frequencyHz !== tunedHz) return;
  monitor?.push(heard);
  tell({ type: 'audio', samples: samples.slice() });
}

function step(events = play?.advance(Math.max(play.now, begun + performance.now())) ?? []): void {
  if (play && events.length > 0) tell({ type: 'events', events, state: play.state(own) });
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
      tell({ type: 'events', events: [], state: play.state(own) });
      return;
    }
    case 'tune':
      if (message.frequencyHz === tunedHz) return;
      tunedHz = message.frequencyHz;
      monitor = createMonitor(radioOf(tunedHz), SAMPLE_RATE, (reading) => {
        tell({ type: 'reading', reading });
      });
      return;
    case 'conduct':
      step();
      step(play?.perform({ at: 0, station: message.station, do: 'behaviour', behaviour: message.behaviour }));
      return;
    case 'act':
      step();
      step(play?.act(own, message.event));
      return;
    case 'actFor': {
      step();
      const { station } = message;
      const events = play?.act(station, message.event) ?? [];
      step(events);
      for (const event of events) {
        if (event.station !== station || event.type !== 'action' || event.action.type !== 'refuse') continue;
        tell({ type: 'refused', refusal: event.action });
      }
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
