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

/**
 * Opens an input as it is: without what browsers do to make speech pleasant.
 *
 * @param onGone - told when the input ends by itself, for example because it was unplugged
 */
export async function openCapture(
  inputId: string | undefined,
  onSamples: (samples: Float32Array<ArrayBuffer>) => void,
  onGone: () => void = () => undefined,
): Promise<Capture> {
  const { mediaDevices } = navigator as { mediaDevices?: MediaDevices };
  if (!mediaDevices) throw new Error('it needs a page from disk, from this computer or over https');
  const stream = await mediaDevices.getUserMedia({
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
    // A page from disk may load a worklet from its text alone, not from a blob.
    await context.audioWorklet.addModule(`data:text/javascript,${encodeURIComponent(worklet)}`);
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
  const [track] = stream.getAudioTracks();
  track.onended = onGone;
  return { sampleRate: context.sampleRate, label: track.label, close };
}

/** Why an input could not be opened, for people. */
export function sayRefusal(error: unknown): string {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'NotAllowedError') return 'The browser was not allowed to use the input.';
  if (name === 'NotFoundError') return 'There is no microphone or line input.';
  if (name === 'OverconstrainedError') return 'The chosen input is not there any more: choose another.';
  if (name === 'NotReadableError') return 'Another program holds the input.';
  return `The input cannot be opened: ${error instanceof Error ? error.message : String(error)}`;
}
