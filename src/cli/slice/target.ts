/**
 * Where a slice of spectrum that is made goes, and how it is written.
 */
import { open } from 'node:fs/promises';
import { roomGainDb } from '../../channel/index.js';
import { dbToAmplitude } from '../../dsp/index.js';
import { DotphaseError, NOTHING, reasonOf } from '../../errors.js';
import {
  IQ_FORMATS,
  createIqWriter,
  formatSigmf,
  sceneAnnotations,
  sliceBlocks,
  type IqBlock,
  type IqFormat,
  type SliceScene,
} from '../../radio/index.js';
import { writeWavFile } from '../../wav/node.js';
import { STANDARD_STREAM } from '../input.js';
import { send } from '../output.js';

/** Where samples go, and how they are coded. */
export type Target =
  | { readonly kind: 'wav'; readonly path: string; readonly format: 'cs16' | 'cf32' }
  | { readonly kind: 'sigmf' | 'raw'; readonly path: string; readonly format: IqFormat };

const SIGMF = /\.sigmf(?:-meta|-data)?$/;

/**
 * The target that options name.
 *
 * @throws DotphaseError where the name of the file does not tell what to write, or tells something else
 */
export function targetOf({ out, format }: { readonly out?: string; readonly format?: IqFormat }): Target {
  if (out === undefined) throw new DotphaseError('--out', NOTHING, 'the file to write');
  if (out === STANDARD_STREAM) return { kind: 'raw', path: out, format: format ?? 'cs16' };
  if (SIGMF.test(out)) return { kind: 'sigmf', path: out.replace(SIGMF, ''), format: format ?? 'cs16' };
  if (out.endsWith('.wav')) {
    if (format === 'cu8' || format === 'cs8')
      throw new DotphaseError('--format', format, 'cs16 or cf32 in a WAV file');
    return { kind: 'wav', path: out, format: format ?? 'cs16' };
  }
  const named = IQ_FORMATS.find((one) => out.endsWith(`.${one}`));
  if (!named)
    throw new DotphaseError(
      '--out',
      out,
      `a name that ends in .wav, .sigmf-meta, ${IQ_FORMATS.map((one) => `.${one}`).join(', ')}`,
    );
  if (format !== undefined && format !== named)
    throw new DotphaseError('--format', format, `${named}, as the name ${out} says`);
  return { kind: 'raw', path: out, format: named };
}

/** How far all of it is turned down so that nothing clips, dB: known only when it was made once. */
export function roomOf(scene: SliceScene): number {
  let peak = 0;
  for (const { i, q } of sliceBlocks(scene))
    for (let n = 0; n < i.length; n++) peak = Math.max(peak, Math.abs(i[n]), Math.abs(q[n]));
  return roomGainDb(peak);
}

function* turnedDown(scene: SliceScene, gainDb: number): Generator<IqBlock> {
  const factor = dbToAmplitude(gainDb);
  for (const { i, q } of sliceBlocks(scene))
    yield gainDb === 0
      ? { i, q }
      : { i: i.map((sample) => factor * sample), q: q.map((sample) => factor * sample) };
}

/** Writes bytes as they are made. */
async function writeBytes(path: string, pieces: Iterable<Uint8Array>): Promise<void> {
  if (path === STANDARD_STREAM) {
    for (const bytes of pieces) await send(bytes);
    return;
  }
  try {
    const file = await open(path, 'w');
    try {
      for (const bytes of pieces) await file.writeFile(bytes);
    } finally {
      await file.close();
    }
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('--out', path, `a file that can be written (${reasonOf(error)})`);
  }
}

/** Writes the samples; gives how many were clipped. */
export async function write(target: Target, scene: SliceScene, gainDb: number): Promise<number> {
  const { kind, path, format } = target;
  const blocks = turnedDown(scene, gainDb);
  if (kind === 'wav') {
    function* channels(): Generator<readonly Float32Array[]> {
      for (const { i, q } of blocks) yield [i, q];
    }
    const options = { sampleRate: scene.sampleRate, channels: 2, float: format === 'cf32' };
    return (await writeWavFile(path, options, channels())).clipped;
  }
  const writer = createIqWriter(format);
  function* pieces(): Generator<Uint8Array> {
    for (const block of blocks) yield writer.push(block);
  }
  await writeBytes(kind === 'sigmf' ? `${path}.sigmf-data` : path, pieces());
  if (kind === 'sigmf') {
    const { sampleRate, tunedHz, recorded } = scene;
    const began = recorded === undefined ? {} : { began: Date.parse(recorded) };
    const captures = [{ start: 0, tunedHz, ...began }];
    const annotations = sceneAnnotations(scene);
    const description = 'made by dotphase slice: nothing of it was on the air';
    const text = formatSigmf({ format, sampleRate, captures }, { description, annotations });
    await writeBytes(`${path}.sigmf-meta`, [new TextEncoder().encode(text)]);
  }
  return writer.clipped;
}
