/**
 * SigMF metadata: what a recording of a slice of spectrum is and where it was tuned (Signal Metadata Format
 * specification 1.0, core namespace; from memory).
 */
import * as z from 'zod';
import { DotphaseError, Described } from '../errors.js';
import type { IqFormat } from './formats.js';

/** A piece of the recording on one frequency. */
export interface SigmfCapture {
  /** Sample at which it begins. */
  readonly start: number;
  /** The frequency in the slice's middle, hertz; not always told. */
  readonly tunedHz?: number;
  /** When it began, milliseconds since 1970 UTC. */
  readonly began?: number;
}

/** A recording. */
export interface SigmfRecording {
  readonly format: IqFormat;
  /** Complex samples a second. */
  readonly sampleRate: number;
  /** In the order of their samples; the first begins with the recording. */
  readonly captures: readonly SigmfCapture[];
}

const FORMATS: Readonly<Record<string, IqFormat>> = {
  cu8: 'cu8',
  ci8: 'cs8',
  ci16_le: 'cs16',
  cf32_le: 'cf32',
};

const METADATA = z.looseObject({
  global: z.looseObject({
    'core:datatype': z.string(),
    'core:sample_rate': z.number().positive(),
    'core:num_channels': z.literal(1, 'expected one channel').optional(),
  }),
  captures: z.array(
    z.looseObject({
      'core:sample_start': z.int().nonnegative(),
      'core:frequency': z.number().optional(),
      'core:datetime': z.iso.datetime({ offset: true }).optional(),
    }),
  ),
});

function metadataOf(text: string): z.infer<typeof METADATA> {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new DotphaseError('metadata', new Described('text that is no JSON'), 'SigMF metadata');
  }
  const result = METADATA.safeParse(data);
  if (result.success) return result.data;
  const [{ path, message }] = result.error.issues;
  throw new DotphaseError(path.map(String).join('.') || 'metadata', new Described('metadata'), message);
}

/**
 * Reads SigMF metadata.
 *
 * @param text - of a file named .sigmf-meta
 * @throws DotphaseError naming the field that is missing or wrong
 */
export function parseSigmf(text: string): SigmfRecording {
  const { global, captures } = metadataOf(text);
  const datatype = global['core:datatype'];
  if (!Object.hasOwn(FORMATS, datatype)) {
    throw new DotphaseError('core:datatype', datatype, Object.keys(FORMATS).join(', '));
  }
  const pieces = captures
    .map((capture): SigmfCapture => {
      const { 'core:frequency': tunedHz, 'core:datetime': began } = capture;
      return {
        start: capture['core:sample_start'],
        ...(tunedHz !== undefined && { tunedHz }),
        ...(began !== undefined && { began: Date.parse(began) }),
      };
    })
    .sort((a, b) => a.start - b.start);
  return {
    format: FORMATS[datatype],
    sampleRate: global['core:sample_rate'],
    captures: pieces.at(0)?.start === 0 ? pieces : [{ start: 0 }, ...pieces],
  };
}

/** Something that is known to lie in a recording. */
export interface SigmfAnnotation {
  /** Its first sample, and how many it takes. */
  readonly start: number;
  readonly samples: number;
  /** Its edges, hertz. */
  readonly lowerHz: number;
  readonly upperHz: number;
  /** What it is. */
  readonly text: string;
}

/**
 * SigMF metadata as text, which {@link parseSigmf} reads.
 *
 * @param recording - `format`, `sampleRate` and `captures` as they are read
 * @param more - `description`, and what lies in it
 */
export function formatSigmf(
  { format, sampleRate, captures }: SigmfRecording,
  { description, annotations = [] }: { description?: string; annotations?: readonly SigmfAnnotation[] } = {},
): string {
  const [datatype] = Object.entries(FORMATS).find(([, one]) => one === format) ?? [];
  if (datatype === undefined) throw new DotphaseError('format', format, Object.values(FORMATS).join(', '));
  const metadata = {
    global: {
      'core:datatype': datatype,
      'core:sample_rate': sampleRate,
      'core:version': '1.0.0',
      'core:num_channels': 1,
      ...(description !== undefined && { 'core:description': description }),
    },
    captures: captures.map(({ start, tunedHz, began }) => ({
      'core:sample_start': start,
      ...(tunedHz !== undefined && { 'core:frequency': tunedHz }),
      ...(began !== undefined && { 'core:datetime': new Date(began).toISOString() }),
    })),
    annotations: annotations.map(({ start, samples, lowerHz, upperHz, text }) => ({
      'core:sample_start': start,
      'core:sample_count': samples,
      'core:freq_lower_edge': lowerHz,
      'core:freq_upper_edge': upperHz,
      'core:comment': text,
    })),
  };
  return `${JSON.stringify(metadata, undefined, 2)}\n`;
}
