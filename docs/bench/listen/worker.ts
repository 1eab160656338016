/**
 * The receiver on a thread of its own: samples or a file in, calls with their sound and the columns of a spectrogram
 * out.
 */
import { createReceiver, type Band, type ReceivedCall, type Receiver, type ReceiverEvent } from 'dotphase';
import { createClips, type Clips } from './clips.js';
import { blocksOf, lookThrough } from './file.js';
import { createLiveReader, type LiveReader } from './livereader.js';
import { serve } from '../parts/running.js';
import type { FromWorker, ToWorker } from './protocol.js';
import { createSpectrum, type Spectrum } from './spectrum.js';

/** Seconds of audio between two reports, so that a long file shows how far it is. */
const BLOCK_SECONDS = 1;

const tell = (message: FromWorker, transfer: Transferable[] = []) => {
  postMessage(message, { transfer });
};

/** One channel on its way through the receiver. */
interface Ear {
  readonly receiver: Receiver;
  readonly reader: LiveReader;
  readonly clips: Clips;
}

interface Open {
  readonly ears: readonly Ear[];
  readonly spectrum: Spectrum;
  readonly sampleRate: number;
  taken: number;
}

let open: Open | undefined;

function earFor(sampleRate: number, bands: readonly Band[]): Ear {
  const reader = createLiveReader(sampleRate, (reading) => {
    tell({ type: 'reading', reading });
  });
  const onEvent = (event: ReceiverEvent) => {
    reader.event(event);
    tell({ type: 'event', event });
  };
  return {
    receiver: createReceiver({ sampleRate, bands, onEvent }),
    reader,
    clips: createClips(sampleRate),
  };
}

function openEars(sampleRate: number, bands: readonly Band[], count: number, columnSeconds: number): Open {
  open = {
    ears: Array.from({ length: count }, () => earFor(sampleRate, bands)),
    spectrum: createSpectrum(sampleRate, columnSeconds),
    sampleRate,
    taken: 0,
  };
  return open;
}

function report({ reader, clips }: Ear, calls: readonly ReceivedCall[]): void {
  for (const call of calls) {
    reader.call(call);
    const clip = clips.cut(call);
    tell({ type: 'call', call, ...(clip && { clip }) }, clip ? [clip.samples.buffer] : []);
  }
}

/** Takes samples of each channel, as many of each. */
function take(into: Open, channels: readonly Float32Array[]): void {
  const { ears, spectrum, sampleRate } = into;
  const [first] = channels;
  const block = Math.round(BLOCK_SECONDS * sampleRate);
  for (let at = 0; at < first.length; at += block) {
    spectrum.push(first.subarray(at, at + block), (column) => {
      tell({ type: 'column', column });
    });
    let peak = 0;
    ears.forEach((ear, i) => {
      const piece = channels[i].subarray(at, at + block);
      ear.clips.push(piece);
      const calls = ear.receiver.push(piece);
      ear.reader.push(piece);
      report(ear, calls);
      for (const sample of piece) peak = Math.max(peak, Math.abs(sample));
    });
    into.taken += Math.min(block, first.length - at);
    tell({ type: 'taken', seconds: into.taken / sampleRate, peak });
  }
}

function end(): void {
  for (const ear of open?.ears ?? []) report(ear, ear.receiver.flush());
  tell({ type: 'done' });
}

async function readFile({ file, bands, columns, shortestColumn }: Extract<ToWorker, { type: 'file' }>) {
  const facts = await lookThrough(file, (share) => {
    tell({ type: 'looked', share });
  });
  const { sampleRate, seconds, channels, recording, warnings } = facts;
  const columnSeconds = Math.max(shortestColumn, seconds / columns);
  tell({ type: 'file', recording, seconds, columnSeconds, warnings });
  const into = openEars(sampleRate, bands, channels.length, columnSeconds);
  for await (const block of blocksOf(file)) {
    take(
      into,
      channels.map((channel) => block.channels[channel]),
    );
  }
  end();
}

function handle(message: ToWorker): Promise<void> | undefined {
  switch (message.type) {
    case 'open':
      openEars(message.sampleRate, message.bands, 1, message.columnSeconds);
      return undefined;
    case 'samples':
      if (open) take(open, [message.samples]);
      return undefined;
    case 'end':
      end();
      return undefined;
    case 'file':
      return readFile(message);
  }
}

serve(handle, tell);
