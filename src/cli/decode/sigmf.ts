/**
 * SigMF recordings on disk: metadata and samples in two files of one name.
 */
import type { Stats } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../../errors.js';
import { IQ_BYTES, parseSigmf, type SigmfRecording } from '../../radio/index.js';
import { diskStatus } from '../diskstatus.js';
import { STANDARD_STREAM } from '../input.js';

const SIGMF = /\.sigmf-(meta|data)$/;

/** Whether a file is part of a SigMF recording. */
export const isSigmf = (file: string): boolean => SIGMF.test(file);

/** The name that a recording goes by, whichever of its files was named. */
export const recordingOf = (file: string): string => file.replace(SIGMF, '.sigmf-meta');

/** What the metadata of a SigMF recording tells. */
export async function sigmfOf(file: string): Promise<SigmfRecording> {
  const path = recordingOf(file);
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new DotphaseError('metadata', path, `a file that can be read: ${reasonOf(error)}`);
  }
  return parseSigmf(text);
}

/** The file with the samples; any other recording is a single file. */
export const samplesOf = (file: string): string => file.replace(SIGMF, '.sigmf-data');

/** What the disk tells of that file; nothing of standard input and of what is not there. */
export function samplesStatus(file: string): Stats | undefined {
  return file === STANDARD_STREAM ? undefined : diskStatus(samplesOf(file));
}

/** How long a SigMF recording is, by the size of its samples. */
export async function sigmfSeconds(file: string): Promise<number> {
  const { format, sampleRate } = await sigmfOf(file);
  const path = samplesOf(file);
  try {
    return (await stat(path)).size / (IQ_BYTES[format] * sampleRate);
  } catch (error) {
    throw new DotphaseError('samples', path, `a file that can be read: ${reasonOf(error)}`);
  }
}
