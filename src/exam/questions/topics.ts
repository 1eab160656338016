/**
 * What questions about a recording can be about.
 */
/** Every topic. */
export const TOPICS = [
  'count',
  'kind',
  'from',
  'to',
  'casualty',
  'nature',
  'position',
  'time',
  'lost',
  'follow',
  'reason',
  'telephone',
  'acknowledgement',
  'next',
] as const;

/** What a question about a recording is about. */
export type Topic = (typeof TOPICS)[number];

/** A question that a plan wants: about a call by its number among those that can be read, or about any. */
export interface Wanted {
  readonly topic: Topic;
  readonly call?: number | undefined;
}
