/**
 * The address of a call and the format specifier it is sent with (ITU-R M.493 Annex 1 §4–§5, from memory).
 */
import { DotphaseError, requireRecord } from '../errors.js';
import type { FormatName } from '../symbols/index.js';
import { FIELDS, writeField, type CallFieldKind, type Field } from './fields/index.js';
import type { Character } from './values.js';

interface AddressForm {
  /** The property of {@link Address} that holds the value; none for a call without an address field. */
  readonly key?: 'area' | 'group' | 'station';
  readonly kind?: CallFieldKind;
}

/** How the address stands in a call of each format. */
export const ADDRESS_FORMS: Record<FormatName, AddressForm> = {
  area: { key: 'area', kind: 'area' },
  distress: {},
  group: { key: 'group', kind: 'identity' },
  allShips: {},
  individual: { key: 'station', kind: 'identity' },
  automatic: { key: 'station', kind: 'identity' },
};

/** The address field of a format, if it has one. */
export function addressField(format: FormatName): Field | undefined {
  const { kind } = ADDRESS_FORMS[format];
  return kind && FIELDS[kind];
}

/** Whether calls sent with these formats have no choice of address, so that they name none. */
function isImplied(formats: readonly FormatName[]): boolean {
  return formats.length === 1 && ADDRESS_FORMS[formats[0]].key === undefined;
}

/** The `to` of a call read with one of its kind's formats; undefined where the kind leaves no choice. */
export function addressValue(formats: readonly FormatName[], format: FormatName, value: unknown): unknown {
  if (isImplied(formats)) return undefined;
  const { key } = ADDRESS_FORMS[format];
  return key ? { [key]: value } : 'allShips';
}

/** The format and address characters of a call's `to`, among the formats its kind is sent with. */
export function writeAddress(
  to: unknown,
  formats: readonly FormatName[],
): { format: FormatName; characters: Character[] } {
  if (isImplied(formats)) {
    if (to === undefined) return { format: formats[0], characters: [] };
    throw new DotphaseError('to', to, 'nothing: this kind of call is for everyone');
  }
  for (const format of formats) {
    const { key, kind } = ADDRESS_FORMS[format];
    if (key && kind) {
      if (typeof to === 'object' && to !== null && key in to) {
        const address = requireRecord(to, 'to', [key], `{ ${key} } alone`);
        return { format, characters: writeField({ kind }, address[key], `to.${key}`) };
      }
    } else if (to === 'allShips') return { format, characters: [] };
  }
  const forms = formats.map((format) => {
    const { key } = ADDRESS_FORMS[format];
    return key ? `{ ${key} }` : "'allShips'";
  });
  throw new DotphaseError('to', to, forms.join(' or '));
}
