/**
 * Sound out of the speaker.
 */
import { useEffect, useRef, useState } from 'preact/hooks';

export interface Playing {
  /** Seconds played so far. */
  readonly clock: () => number;
  /** Fulfilled when the sound is over, or was stopped before its end. */
  readonly over: Promise<{ readonly wasStopped: boolean }>;
  stop(): void;
}

let context: AudioContext | undefined;

/** The page's one way to the speaker; browsers let it sound only after a key or a click. */
function speaker(): AudioContext {
  context ??= new AudioContext();
  return context;
}

/** Plays samples once. */
export async function play(samples: Float32Array<ArrayBuffer>, sampleRate: number): Promise<Playing> {
  const audio = speaker();
  await audio.resume();
  const buffer = audio.createBuffer(1, samples.length, sampleRate);
  buffer.copyToChannel(samples, 0);
  const source = audio.createBufferSource();
  source.buffer = buffer;
  source.connect(audio.destination);
  let wasStopped = false;
  const over = new Promise<{ wasStopped: boolean }>((resolve) => {
    source.onended = () => {
      resolve({ wasStopped });
    };
  });
  const start = audio.currentTime;
  source.start();
  return {
    clock: () => audio.currentTime - start,
    over,
    stop: () => {
      wasStopped = audio.currentTime - start < buffer.duration;
      source.stop();
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
    /** Fulfilled when the sound is over or was stopped. */
    async start(
      samples: Float32Array<ArrayBuffer>,
      sampleRate: number,
    ): Promise<{ readonly wasStopped: boolean }> {
      current.current?.stop();
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
