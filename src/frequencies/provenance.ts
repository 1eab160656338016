/**
 * Where an entry of a frequency table comes from and how sure it is.
 */

/** Every entry's source. All were written from memory: none of the publications was at hand. */
export interface Provenance {
  /** The publication, with its section or table. */
  readonly source: string;
  /**
   * `established`: well known and cross-checked; `likely`: remembered, not cross-checked; `derived`: follows by a
   * rule of the source (channel spacing) from established values.
   */
  readonly certainty: 'established' | 'likely' | 'derived';
}
