/**
 * Which of the files given are slices of spectrum, and which belong together.
 */
import type { RecordingKind } from './settings.js';

/** The files of a slice of spectrum. */
export interface SliceFiles {
  readonly name: string;
  readonly samples: File;
  /** Of a SigMF recording. */
  readonly metadata?: File;
}

/** Files by how they are read. */
export interface SortedFiles {
  readonly slices: readonly SliceFiles[];
  readonly others: readonly File[];
  /** Names of SigMF files whose other half is not there. */
  readonly lone: readonly string[];
}

const SIGMF = /\.sigmf-(meta|data)$/;

/** @param kind - what recordings hold that are no SigMF */
export function sortedFiles(files: readonly File[], kind: RecordingKind): SortedFiles {
  const plain = files.filter(({ name }) => !SIGMF.test(name));
  const named = new Map(files.map((file) => [file.name, file]));
  const names = [
    ...new Set(files.filter(({ name }) => SIGMF.test(name)).map(({ name }) => name.replace(SIGMF, ''))),
  ];
  const recordings = names.map((name) => ({
    name,
    metadata: named.get(`${name}.sigmf-meta`),
    samples: named.get(`${name}.sigmf-data`),
  }));
  return {
    slices: [
      ...recordings.flatMap(({ name, metadata, samples }) =>
        metadata && samples ? [{ name, metadata, samples }] : [],
      ),
      ...(kind === 'slice' ? plain.map((samples) => ({ name: samples.name, samples })) : []),
    ],
    others: kind === 'slice' ? [] : plain,
    lone: recordings.flatMap(({ metadata, samples }) =>
      metadata && samples ? [] : [(metadata ?? samples)?.name ?? ''],
    ),
  };
}
