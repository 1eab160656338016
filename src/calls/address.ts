/**
 * The address of a call and the format specifier it is sent with (ITU-R M.493 Annex 1 §4–§5, from memory).
 */
import { DotphaseError } from '../errors.js';
import type { FormatName } from '../symbols/index.js';
import { areaField, describeField, identityField, writeField, type Field } from './fields.js';

interface AddressForm {
  /** The property of {@link Address} that holds the value; none for a call without an address field. */
  readonly key?: 'area' | 'group' | 'station';
  readonly field?: Field;
}

const ADDRESS_FORMS: Record<FormatName, AddressForm> = {
  area: { key: 'area', field: areaField },
  distress: {},
  group: { key: 'group', field: identityField },
  allShips: {},
  individual: { key: 'station', field: identityField },
  automatic: { key: 'station', field: identityField },
};

/** The address field of a format, if it has one. */
export function addressField(format: FormatName): Field | undefined {
  return ADDRESS_FORMS[format].field;
}

/** The address as a property value of a call, or undefined for a distress alert, which is for everyone. */
export function addressValue(format: FormatName, value: unknown): unknown {
  const { key } = ADDRESS_FORMS[format];
  if (key) return { [key]: value };
  return format === 'allShips' ? 'allShips' : undefined;
}

/** The format and address symbols of a call's `to`, among the formats its kind is sent with. */
export function writeAddress(
  to: unknown,
  formats: readonly FormatName[],
): { format: FormatName; symbols: number[] } {
  for (const format of formats) {
    const { key, field } = ADDRESS_FORMS[format];
    if (key && field) {
      if (typeof to === 'object' && to !== null && key in to) {
        return { format, symbols: writeField(field, (to as Record<string, unknown>)[key], `to.${key}`) };
      }
    } else if (to === addressValue(format, undefined)) return { format, symbols: [] };
  }
  const forms = formats.map((format) => {
    const { key } = ADDRESS_FORMS[format];
    return key ? `{ ${key} }` : "'allShips'";
  });
  throw new DotphaseError('to', to, formats.includes('distress') ? 'nothing' : forms.join(' or '));
}

/** The addressee in words. */
export function describeAddress(to: unknown): string {
  if (typeof to === 'object' && to !== null) {
    for (const { key, field } of Object.values(ADDRESS_FORMS)) {
      if (key && field && key in to) return describeField(field, (to as Record<string, unknown>)[key]);
    }
  }
  return 'all ships';
}
