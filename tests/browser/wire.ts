/**
 * A cable between pages: what one plays comes in at the microphone of the others, and softly at its own, as with
 * a speaker and a microphone in a room.
 */
import type { BrowserContext, Page } from 'playwright-core';

export interface WireOptions {
  /** How loud the own sound is in the own microphone, 0 to 1; default 0.5. */
  readonly echo?: number;
  /** How loud the sound of others is; default 1. */
  readonly gain?: number;
  /** Standard deviation of white noise at 48 kHz in the microphone; default none. */
  readonly noise?: number;
}

interface Started {
  readonly type: 'start';
  readonly id: string;
  readonly rate: number;
  readonly samples: Float32Array;
}

type OnWire = Started | { readonly type: 'stop'; readonly id: string };

/** Runs in the page before anything else. */
function install({ echo = 0.5, gain = 1, noise = 0 }: WireOptions): void {
  const channel = new BroadcastChannel('wire');
  let microphone: { context: AudioContext; into: MediaStreamAudioDestinationNode } | undefined;
  const sources = new Map<string, AudioBufferSourceNode>();
  const node = AudioBufferSourceNode.prototype;
  /* eslint-disable @typescript-eslint/unbound-method -- called on the node below */
  const start = node.start;
  const stop = node.stop;
  /* eslint-enable @typescript-eslint/unbound-method */

  function come({ id, rate, samples }: Started, level: number): void {
    if (!microphone || level === 0) return;
    const { context, into } = microphone;
    const buffer = context.createBuffer(1, samples.length, rate);
    buffer.copyToChannel(samples as Float32Array<ArrayBuffer>, 0);
    const source = context.createBufferSource();
    const volume = context.createGain();
    volume.gain.value = level;
    source.buffer = buffer;
    source.connect(volume).connect(into);
    sources.set(id, source);
    start.call(source);
  }

  function end(id: string): void {
    const source = sources.get(id);
    if (source) stop.call(source);
  }

  channel.onmessage = ({ data }: MessageEvent<OnWire>) => {
    if (data.type === 'start') come(data, gain);
    else end(data.id);
  };

  const ids = new WeakMap<AudioBufferSourceNode, string>();
  let next = 0;
  node.start = function (this: AudioBufferSourceNode, ...when) {
    const { buffer } = this;
    if (buffer) {
      const id = `${performance.timeOrigin}-${next++}`;
      ids.set(this, id);
      const started: Started = {
        type: 'start',
        id,
        rate: buffer.sampleRate,
        samples: buffer.getChannelData(0).slice(),
      };
      channel.postMessage(started);
      come(started, echo);
    }
    start.apply(this, when);
  };
  node.stop = function (this: AudioBufferSourceNode, ...when) {
    const id = ids.get(this);
    if (id !== undefined) {
      channel.postMessage({ type: 'stop', id });
      end(id);
    }
    stop.apply(this, when);
  };

  navigator.mediaDevices.getUserMedia = async () => {
    const context = new AudioContext({ sampleRate: 48_000 });
    await context.resume();
    const into = context.createMediaStreamDestination();
    microphone = { context, into };
    const buffer = context.createBuffer(1, 5 * 48_000, 48_000);
    const samples = buffer.getChannelData(0);
    for (let n = 0; n < samples.length; n++) {
      const radius = Math.sqrt(-2 * Math.log(1 - Math.random()));
      samples[n] = noise * radius * Math.cos(2 * Math.PI * Math.random());
    }
    // A source keeps the stream going even where there is nothing to hear.
    const source = context.createBufferSource();
    source.buffer = buffer;
    source.loop = true;
    source.connect(into);
    start.call(source);
    return into.stream;
  };
}

/** Puts a page at the wire. */
export async function wired(context: BrowserContext, options: WireOptions = {}): Promise<Page> {
  const page = await context.newPage();
  await page.addInitScript(install, options);
  return page;
}
