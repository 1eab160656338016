/**
 * What every kind of call looks like on the air, position by position: the call table as constraints for a
 * receiver.
 */
import { END_OF_SEQUENCE_CODES, FORMAT_CODES } from '../symbols/internal.js';
import { addressField } from './address.js';
import {
  FIELDS,
  combineShapes,
  constantField,
  fieldOf,
  symbolSet,
  type Shape,
  type SymbolSet,
} from './fields/index.js';
import { CALL_TABLE } from './table.js';
import type { TableKind } from './types.js';

/** One way a call can look when all its symbols are assigned. */
export interface CallLayout {
  readonly kind: TableKind;
  /** The allowed symbols of each position from one format specifier through the end of sequence. */
  readonly positions: readonly SymbolSet[];
}

/** Every layout of every kind of call. */
export function callLayouts(): CallLayout[] {
  return CALL_TABLE.flatMap((row) =>
    row.formats.flatMap((name) => {
      const format = FORMAT_CODES.byName(name)?.symbol ?? 0;
      const address = addressField(name);
      const fields = [constantField(format), ...(address ? [address] : []), ...row.slots.map(fieldOf)];
      const eos = symbolSet(END_OF_SEQUENCE_CODES.byName(row.eos(name))?.symbol ?? 0);
      const end: Shape = [row.eosDecides ? eos : (FIELDS.eos.shapes()[0]?.[0] ?? eos)];
      return combineShapes(fields).map((shape) => ({ kind: row.kind, positions: [...shape, ...end] }));
    }),
  );
}
