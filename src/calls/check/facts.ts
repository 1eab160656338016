/**
 * The properties of a call that the rules use, worked out once.
 */
import { CATEGORIES, FORMATS, type CategoryName, type FormatName, type Band } from '../../symbols/index.js';
import { addressField } from '../address.js';
import { receivedCharacters, requireCall } from '../codec.js';
import { identityKind, type IdentityKind } from '../identity.js';
import { rowOfKind, type CallRow } from '../table.js';
import type { DecodedCall, RowKind } from '../types.js';
import { bandOf } from '../maritimebands.js';
import type { CheckOptions, EquipmentClass } from './problem.js';

/** A record of a call's properties. */
export type Values = Readonly<Record<string, unknown>>;

/** A call that can be encoded, with what its characters say. */
export interface Facts {
  readonly values: Values;
  /** Undefined for an unassigned call. */
  readonly row: CallRow<RowKind> | undefined;
  /** Undefined where it is not assigned. */
  readonly format: FormatName | undefined;
  /** Undefined where it is not assigned or the call has none. */
  readonly category: CategoryName | undefined;
  /** The three kinds of address, where the call has it and it is assigned. */
  readonly to: { readonly station?: string; readonly group?: string; readonly area?: Values };
  readonly self: string | undefined;
  readonly casualty: string | undefined;
  readonly band: Band | undefined;
  readonly frequencyHz: number | undefined;
  readonly equipmentClass: EquipmentClass | undefined;
}

/** The kind of an identity, or undefined where there is none. */
export function kindOf(identity: string | undefined): IdentityKind | undefined {
  return identity === undefined ? undefined : identityKind(identity);
}

/** A value as a record, empty where it is none. */
export function recordOf(value: unknown): Values {
  return typeof value === 'object' && value !== null ? (value as Values) : {};
}

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

/** The facts of a call; throws a DotphaseError where it cannot be encoded, whatever was received of it. */
export function factsOf(call: DecodedCall, options: CheckOptions): Facts {
  const { values } = requireCall(call);
  const characters = receivedCharacters(call);
  const row = rowOfKind(values.kind);
  const format = FORMATS.bySymbol(characters[0] ?? -1)?.name;
  const addressLength = format && addressField(format) ? 5 : 0;
  const category =
    format === 'distress' ? 'distress' : CATEGORIES.bySymbol(characters[1 + addressLength] ?? -1)?.name;
  const to = recordOf(values.to);
  const casualty = textOf(values.casualty);
  const { frequencyHz } = options;
  return {
    values,
    row,
    format,
    category: row && category,
    to: {
      ...(typeof to.station === 'string' && { station: to.station }),
      ...(typeof to.group === 'string' && { group: to.group }),
      ...('latitude' in recordOf(to.area) && { area: recordOf(to.area) }),
    },
    self: textOf(values.self),
    casualty: casualty === 'unknown' ? undefined : casualty,
    band: options.band ?? (frequencyHz === undefined ? undefined : bandOf(frequencyHz)),
    frequencyHz,
    equipmentClass: options.equipmentClass,
  };
}
