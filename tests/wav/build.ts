/**
 * WAV containers put together field by field, as the sources write them down: Multimedia Programming Interface and
 * Data Specifications 1.0 (1991) for RIFF, WAVEFORMATEX and WAVEFORMATEXTENSIBLE, EBU Tech 3306 for RF64 (from memory).
 */

export function ascii(text: string): number[] {
  return Array.from(text, (character) => character.charCodeAt(0));
}

export function le16(value: number): number[] {
  return [value & 0xff, (value >> 8) & 0xff];
}

export function le32(value: number): number[] {
  return [0, 8, 16, 24].map((shift) => (value >>> shift) & 0xff);
}

export function le64(value: bigint): number[] {
  return [...le32(Number(value & 0xffffffffn)), ...le32(Number(value >> 32n))];
}

/** A chunk with its pad byte; `size` lies about the size, `pad: false` leaves the pad byte out. */
export function chunk(id: string, body: number[], lies: { size?: number; pad?: boolean } = {}): number[] {
  const pad = (lies.pad ?? true) && body.length % 2 === 1 ? [0] : [];
  return [...ascii(id), ...le32(lies.size ?? body.length), ...body, ...pad];
}

export interface Fmt {
  tag?: number;
  channels?: number;
  rate?: number;
  bits?: number;
  align?: number;
}

/** The 16 bytes of PCMWAVEFORMAT. */
export function fmt16({ tag = 1, channels = 1, rate = 12000, bits = 16, align }: Fmt = {}): number[] {
  const frame = align ?? (channels * bits) / 8;
  return [
    ...le16(tag),
    ...le16(channels),
    ...le32(rate),
    ...le32(rate * frame),
    ...le16(frame),
    ...le16(bits),
  ];
}

/** The 40 bytes of WAVEFORMATEXTENSIBLE. */
export function fmt40(fmt: Fmt & { subTag?: number; validBits?: number; tail?: number[] } = {}): number[] {
  const tail = fmt.tail ?? [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
  return [
    ...fmt16({ ...fmt, tag: 0xfffe }),
    ...le16(22),
    ...le16(fmt.validBits ?? fmt.bits ?? 16),
    ...le32(0),
    ...le16(fmt.subTag ?? 1),
    ...tail,
  ];
}

/** A file of these chunks; `size` lies about the size. */
export function riff(
  chunks: number[][],
  lies: { size?: number; id?: string; type?: string } = {},
): Uint8Array {
  const body = [...ascii(lies.type ?? 'WAVE'), ...chunks.flat()];
  return Uint8Array.from([...ascii(lies.id ?? 'RIFF'), ...le32(lies.size ?? body.length), ...body]);
}

/** Bytes of 16-bit samples. */
export function s16(...samples: number[]): number[] {
  return samples.flatMap(le16);
}

/** A 16-bit mono file of these samples, its chunks in the plainest order. */
export function plain(...samples: number[]): Uint8Array {
  return riff([chunk('fmt ', fmt16()), chunk('data', s16(...samples))]);
}

export function joined(...parts: Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]));
}

/** Whether two long arrays hold the same bytes (quicker than a deep comparison). */
export function identical(a: Float32Array | Uint8Array, b: Float32Array | Uint8Array): boolean {
  const bytes = (array: Float32Array | Uint8Array): Buffer =>
    Buffer.from(array.buffer, array.byteOffset, array.byteLength);
  return bytes(a).equals(bytes(b));
}
