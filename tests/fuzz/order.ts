/** What goes to a thread that fuzzes, and what comes back. */

/** What a thread is given. */
export interface Order {
  readonly target: string;
  /** Of processor time. */
  readonly milliseconds: number;
  readonly seed: number;
  readonly corpus: readonly Uint8Array[];
  /** Where the input being tried is kept: its number, its length, then its bytes. */
  readonly current: SharedArrayBuffer;
}

/** Something that must not be. */
export interface Finding {
  readonly type: 'finding';
  readonly kind: string;
  readonly message: string;
  readonly signature: string;
  readonly input: Uint8Array;
}

/** What a thread did. */
export interface Tally {
  readonly type: 'tally';
  readonly inputs: number;
  readonly bytes: number;
  /** Of processor time. */
  readonly milliseconds: number;
  readonly reached: number;
  readonly slowestMs: number;
  readonly slowestBytes: number;
  readonly mostMiB: number;
  /** Inputs that did something new. */
  readonly added: readonly Uint8Array[];
}

/** Bytes of {@link Order.current} before those of the input. */
export const CURRENT_HEAD_BYTES = 8;
