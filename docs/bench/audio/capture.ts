/**
 * Sound from a microphone or a line input.
 */
import worklet from './capture.worklet.js?raw';

export interface Capture {
  readonly sampleRate: number;
  /** The input's name as the browser gives it. */
  readonly label: string;
  close(): void;
}

/** An input to choose from. */
export interface Input {
  readonly id: string;
  readonly label: string;
}

/** The inputs there are; their names are empty until the microphone was allowed once. */
export async function listInputs(): Promise<Input[]> {
  const devices = await navigator.mediaDevices.enumerateDevices();
  return devices
    .filter(({ kind, deviceId }) => kind === 'audioinput' && deviceId !== '')
    .map(({ deviceId, label }) => ({ id: deviceId, label }));
}

/** Opens an input as it is: without what browsers do to make speech pleasant. */
export async function openCapture(
  inputId: string | undefined,
  onSamples: (samples: Float32Array<ArrayBuffer>) => void,
): Promise<Capture> {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: {
      echoCancellation: false,
      noiseSuppression: false,
      autoGainControl: false,
      channelCount: 1,
      ...(inputId !== undefined && { deviceId: { exact: inputId } }),
    },
  });
  const context = new AudioContext();
  const close = () => {
    for (const track of stream.getTracks()) track.stop();
    void context.close();
  };
  try {
    const url = URL.createObjectURL(new Blob([worklet], { type: 'text/javascript' }));
    await context.audioWorklet.addModule(url);
    URL.revokeObjectURL(url);
    await context.resume();
    const node = new AudioWorkletNode(context, 'capture', { numberOfOutputs: 0 });
    node.port.onmessage = ({ data }: MessageEvent<Float32Array<ArrayBuffer>>) => {
      onSamples(data);
    };
    context.createMediaStreamSource(stream).connect(node);
  } catch (error) {
    close();
    throw error;
  }
  return { sampleRate: context.sampleRate, label: stream.getAudioTracks()[0].label, close };
}

/** Why an input could not be opened, for people. */
export function sayRefusal(error: unknown): string {
  const name = error instanceof DOMException ? error.name : '';
  if (name === 'NotAllowedError') return 'The browser was not allowed to use the input.';
  if (name === 'NotFoundError') return 'There is no microphone or line input.';
  if (name === 'NotReadableError') return 'Another program holds the input.';
  return `The input cannot be opened: ${error instanceof Error ? error.message : String(error)}`;
}
