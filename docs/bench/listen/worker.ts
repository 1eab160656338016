/**
 * The receiver on a thread of its own: samples in, calls and the columns of a spectrogram out.
 */
import { createReceiver, type ReceivedCall, type Receiver } from 'dotphase';
import type { FromWorker, ToWorker } from './protocol.js';
import { createSpectrum, type Spectrum } from './spectrum.js';

/** Seconds of audio between two reports, so that a long file shows how far it is. */
const BLOCK_SECONDS = 1;

const tell = (message: FromWorker) => {
  postMessage(message);
};

let open: { receiver: Receiver; spectrum: Spectrum; sampleRate: number } | undefined;
let taken = 0;

function report(calls: readonly ReceivedCall[]): void {
  for (const call of calls) tell({ type: 'call', call });
}

function take(samples: Float32Array): void {
  if (!open) return;
  const { receiver, spectrum, sampleRate } = open;
  const block = Math.round(BLOCK_SECONDS * sampleRate);
  for (let at = 0; at < samples.length; at += block) {
    const piece = samples.subarray(at, at + block);
    spectrum.push(piece, (column) => {
      tell({ type: 'column', column });
    });
    report(receiver.push(piece));
    taken += piece.length;
    let peak = 0;
    for (const sample of piece) peak = Math.max(peak, Math.abs(sample));
    tell({ type: 'taken', seconds: taken / sampleRate, peak });
  }
}

function handle(message: ToWorker): void {
  switch (message.type) {
    case 'open': {
      const { sampleRate, bands, columnSeconds } = message;
      const onEvent: (
        event: Parameters<NonNullable<Parameters<typeof createReceiver>[0]['onEvent']>>[0],
      ) => void = (event) => {
        tell({ type: 'event', event });
      };
      open = {
        receiver: createReceiver({ sampleRate, bands, onEvent }),
        spectrum: createSpectrum(sampleRate, columnSeconds),
        sampleRate,
      };
      return;
    }
    case 'samples':
      take(message.samples);
      return;
    case 'end':
      if (open) report(open.receiver.flush());
      tell({ type: 'done' });
  }
}

addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  try {
    handle(data);
  } catch (error) {
    tell({ type: 'failed', reason: error instanceof Error ? error.message : String(error) });
  }
});
