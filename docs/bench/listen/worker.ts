/**
 * The receiver on a thread of its own: samples in, calls and the columns of a spectrogram out.
 */
import { createReceiver, type ReceivedCall, type Receiver, type ReceiverEvent } from 'dotphase';
import { createLiveReader, type LiveReader } from './livereader.js';
import type { FromWorker, ToWorker } from './protocol.js';
import { createSpectrum, type Spectrum } from './spectrum.js';

/** Seconds of audio between two reports, so that a long file shows how far it is. */
const BLOCK_SECONDS = 1;

const tell = (message: FromWorker) => {
  postMessage(message);
};

let open: { receiver: Receiver; reader: LiveReader; spectrum: Spectrum; sampleRate: number } | undefined;
let taken = 0;

function report(calls: readonly ReceivedCall[]): void {
  for (const call of calls) {
    open?.reader.call(call);
    tell({ type: 'call', call });
  }
}

function take(samples: Float32Array): void {
  if (!open) return;
  const { receiver, reader, spectrum, sampleRate } = open;
  const block = Math.round(BLOCK_SECONDS * sampleRate);
  for (let at = 0; at < samples.length; at += block) {
    const piece = samples.subarray(at, at + block);
    spectrum.push(piece, (column) => {
      tell({ type: 'column', column });
    });
    const calls = receiver.push(piece);
    reader.push(piece);
    report(calls);
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
      const reader = createLiveReader(sampleRate, (reading) => {
        tell({ type: 'reading', reading });
      });
      const onEvent = (event: ReceiverEvent) => {
        reader.event(event);
        tell({ type: 'event', event });
      };
      open = {
        receiver: createReceiver({ sampleRate, bands, onEvent }),
        reader,
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
