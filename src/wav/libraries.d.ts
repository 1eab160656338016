/** The parts of wav-decoder and wav-encoder used here; neither package carries types. */

declare module 'wav-decoder' {
  interface AudioData {
    readonly sampleRate: number;
    readonly channelData: Float32Array[];
  }
  const decoder: { decode: { sync(wav: ArrayBuffer, options?: { symmetric?: boolean }): AudioData } };
  export default decoder;
}

declare module 'wav-encoder' {
  interface AudioData {
    readonly sampleRate: number;
    readonly channelData: Float32Array[];
  }
  interface EncodeOptions {
    bitDepth?: number;
    float?: boolean;
    symmetric?: boolean;
  }
  const encoder: { encode: { sync(audio: AudioData, options?: EncodeOptions): ArrayBuffer } };
  export default encoder;
}
