/**
 * Sound out of the speaker: one at a time on the whole page.
 */
import { useEffect, useRef, useState } from 'preact/hooks';

export interface Playing {
  /** Seconds played so far. */
  readonly clock: () => number;
  /** Fulfilled when the sound is over, or was stopped before its end. */
  readonly over: Promise<{ readonly wasStopped: boolean }>;
  stop(): void;
}

/** Sound that goes on as long as samples come. */
export interface Stream {
  /** Takes the next samples. */
  push(samples: Float32Array<ArrayBuffer>): void;
  /** Seconds of it that wait to sound. */
  ahead(): number;
  close(): void;
}

/** The speaker is in use by an exchange, which nothing else may break into. */
class SpeakerHeld extends Error {
  constructor() {
    super('An exchange is on the air here: wait for its end or stop it, then play.');
  }
}

let context: AudioContext | undefined;
let sounding: Playing | undefined;
/** How many exchanges sound or are heard. */
let holders = 0;

/** The page's one way to the speaker; browsers let it sound only after a key or a click. */
function speaker(): AudioContext {
  context ??= new AudioContext();
  return context;
}

interface SinkContext extends AudioContext {
  setSinkId?: (id: string) => Promise<void>;
}

/** Whether this browser lets a page choose the output. */
export function canChooseOutput(): boolean {
  return 'setSinkId' in AudioContext.prototype;
}

/** Sends all sound to an output; empty for the system's own choice. */
export async function chooseOutput(id: string): Promise<void> {
  await (speaker() as SinkContext).setSinkId?.(id);
}

/** Elements of the page that play by themselves. */
const elements = new Set<HTMLMediaElement>();

/** An element that plays by itself: it gives way to other sound, and other sound to it. Gives what ends that. */
export function joinSpeaker(element: HTMLMediaElement): () => void {
  elements.add(element);
  const begin = () => {
    if (holders > 0) element.pause();
    else sounding?.stop();
  };
  element.addEventListener('play', begin);
  return () => {
    elements.delete(element);
    element.removeEventListener('play', begin);
  };
}

function silenceOthers(): void {
  sounding?.stop();
  for (const element of elements) element.pause();
}

/** Plays samples once. What sounded before stops. */
async function sound(samples: Float32Array<ArrayBuffer>, sampleRate: number): Promise<Playing> {
  const audio = speaker();
  await audio.resume();
  silenceOthers();
  const buffer = audio.createBuffer(1, samples.length, sampleRate);
  buffer.copyToChannel(samples, 0);
  const source = audio.createBufferSource();
  source.buffer = buffer;
  source.connect(audio.destination);
  let wasStopped = false;
  const start = audio.currentTime;
  const playing: Playing = {
    clock: () => audio.currentTime - start,
    over: new Promise((resolve) => {
      source.onended = () => {
        if (sounding === playing) sounding = undefined;
        resolve({ wasStopped });
      };
    }),
    stop: () => {
      wasStopped ||= audio.currentTime - start < buffer.duration;
      source.stop();
    },
  };
  sounding = playing;
  source.start();
  return playing;
}

/**
 * Plays samples once. What sounded before stops.
 *
 * @throws SpeakerHeld while an exchange sounds
 */
function play(samples: Float32Array<ArrayBuffer>, sampleRate: number): Promise<Playing> {
  return holders > 0 ? Promise.reject(new SpeakerHeld()) : sound(samples, sampleRate);
}

/** Plays the sound of an exchange, which nothing else on the page breaks into. */
export async function playHeld(samples: Float32Array<ArrayBuffer>, sampleRate: number): Promise<Playing> {
  holders++;
  try {
    const playing = await sound(samples, sampleRate);
    void playing.over.then(() => holders--);
    return playing;
  } catch (error) {
    holders--;
    throw error;
  }
}

/** Samples wait so long before they sound, so that none comes too late, seconds. */
const LEAD_SECONDS = 0.25;

/** Opens the sound of an exchange that goes on; nothing else sounds meanwhile. */
export async function openStream(sampleRate: number): Promise<Stream> {
  const audio = speaker();
  await audio.resume();
  silenceOthers();
  holders++;
  let isOpen = true;
  let next = 0;
  const sources = new Set<AudioBufferSourceNode>();
  return {
    push(samples) {
      if (!isOpen || samples.length === 0) return;
      const buffer = audio.createBuffer(1, samples.length, sampleRate);
      buffer.copyToChannel(samples, 0);
      const source = audio.createBufferSource();
      source.buffer = buffer;
      source.connect(audio.destination);
      sources.add(source);
      source.onended = () => sources.delete(source);
      if (next < audio.currentTime) next = audio.currentTime + LEAD_SECONDS;
      source.start(next);
      next += buffer.duration;
    },
    ahead: () => Math.max(0, next - audio.currentTime),
    close() {
      if (!isOpen) return;
      isOpen = false;
      holders--;
      for (const source of sources) source.stop();
    },
  };
}

/** A player for one component: what it plays stops when the component goes. */
export function usePlayer() {
  const [playing, setPlaying] = useState<Playing>();
  const current = useRef<Playing>(undefined);
  useEffect(() => () => current.current?.stop(), []);
  return {
    playing,
    /**
     * Fulfilled when the sound is over or was stopped.
     *
     * @throws SpeakerHeld while an exchange sounds
     */
    async start(
      samples: Float32Array<ArrayBuffer>,
      sampleRate: number,
    ): Promise<{ readonly wasStopped: boolean }> {
      const started = await play(samples, sampleRate);
      current.current = started;
      setPlaying(started);
      const end = await started.over;
      if (current.current === started) {
        current.current = undefined;
        setPlaying(undefined);
      }
      return end;
    },
    stop() {
      current.current?.stop();
    },
  };
}
