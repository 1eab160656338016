/**
 * SigMF recordings on disk: metadata and samples in two files of one name.
 */
import { readFile } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../../errors.js';
import { parseSigmf, type SigmfRecording } from '../../radio/index.js';

const SIGMF = /\.sigmf-(meta|data)$/;

/** Whether a file is part of a SigMF recording. */
export const isSigmf = (file: string): boolean => SIGMF.test(file);

/** What the metadata of a SigMF recording tells. */
export async function sigmfOf(file: string): Promise<SigmfRecording> {
  const path = file.replace(SIGMF, '.sigmf-meta');
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new DotphaseError('metadata', path, `a file that can be read: ${reasonOf(error)}`);
  }
  return parseSigmf(text);
}

/** The file with the samples. */
export const samplesOf = (file: string): string => file.replace(SIGMF, '.sigmf-data');
