/**
 * What a virtual station hears on one frequency, character by character while a call comes in.
 */
import { createReceiver, type Band } from 'dotphase';
import { createLiveReader, type LiveReading } from '../listen/livereader.js';

export interface Monitor {
  push(heard: Float32Array): void;
}

/** Opens a monitor. */
export function createMonitor(
  band: Band,
  sampleRate: number,
  onReading: (reading: LiveReading) => void,
): Monitor {
  const reader = createLiveReader(sampleRate, onReading);
  const receiver = createReceiver({
    sampleRate,
    bands: [band],
    centreHz: 1700,
    searchHz: 60,
    onEvent(event) {
      reader.event(event);
    },
  });
  return {
    push(heard) {
      const calls = receiver.push(heard);
      reader.push(heard);
      for (const call of calls) reader.call(call);
    },
  };
}
