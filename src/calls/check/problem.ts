/**
 * What is wrong about a call.
 */
/** One rule that a call breaks. */
export interface Problem {
  /** `error`: the standard does not allow it; `warning`: allowed, but wrong in practice, or remembered with doubt. */
  readonly level: 'error' | 'warning';
  /** Where it stands, for example `position` or `to.area.south`. */
  readonly field: string;
  /** What stands there. */
  readonly value: unknown;
  /** What was expected, as a phrase that completes "expected …". */
  readonly expected: string;
  /** The rule and where it is set. */
  readonly rule: string;
}

/** Classes of DSC equipment (M.493 §12 and Annex 2, from memory). */
export type EquipmentClass = 'A' | 'B' | 'D' | 'E' | 'H' | 'M';

/** What is known of how a call is sent. */
export interface CheckOptions {
  /** Which radio carries it; default: taken from `frequencyHz`, and unknown without. */
  band?: 'mf-hf' | 'vhf';
  /** The frequency it is sent on, hertz. */
  frequencyHz?: number;
  /** The class of the equipment that sends it. */
  equipmentClass?: EquipmentClass;
}
