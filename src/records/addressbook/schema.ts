/**
 * The form of an address book, as a JSON Schema (draft 2020-12) too: addressbook.schema.json beside this file.
 */
import * as z from 'zod';
import { IDENTITY_KINDS, identityKind, parseIdentity } from '../../calls/index.js';

/** No control characters, lone surrogates or marks that turn the direction of writing; no space at the ends. */
const NAME =
  /^[^\s\p{Cc}\p{Cs}\u200E\u200F\u202A-\u202E\u2066-\u2069](?:[^\p{Cc}\p{Cs}\u200E\u200F\u202A-\u202E\u2066-\u2069]{0,58}[^\s\p{Cc}\p{Cs}\u200E\u200F\u202A-\u202E\u2066-\u2069])?$/u;

const DIGITS = /^[0-9]{9}$/;

const NAME_TEXT = 'a name of 1 to 60 characters, without control characters or outer spaces, not nine digits';
const IDENTITY_TEXT = 'nine digits';
const KIND_TEXT = "the kind that the identity's first digits say";
const FREQUENCY_TEXT = 'whole hertz from 400000 to 200000000';
const FREQUENCIES_TEXT = 'up to 20 frequencies, each once';
const NOTE_TEXT = 'text of up to 500 characters';
const ENTRY_TEXT = 'a station: name and identity, perhaps kind, frequencies and note';

function isNineDigits(name: string): boolean {
  try {
    parseIdentity(name);
    return true;
  } catch {
    return false;
  }
}

const entrySchema = z
  .strictObject(
    {
      name: z
        .string({ error: NAME_TEXT })
        .regex(NAME, { error: NAME_TEXT })
        .refine((name) => !isNineDigits(name), { error: NAME_TEXT })
        .describe(NAME_TEXT),
      identity: z
        .string({ error: IDENTITY_TEXT })
        .regex(DIGITS, { error: IDENTITY_TEXT })
        .describe(IDENTITY_TEXT),
      kind: z.enum(IDENTITY_KINDS, { error: KIND_TEXT }).optional().describe(KIND_TEXT),
      frequencies: z
        .array(
          z
            .int({ error: FREQUENCY_TEXT })
            .min(400_000, { error: FREQUENCY_TEXT })
            .max(200_000_000, { error: FREQUENCY_TEXT })
            .describe(FREQUENCY_TEXT),
          { error: FREQUENCIES_TEXT },
        )
        .max(20, { error: FREQUENCIES_TEXT })
        .refine((list) => new Set(list).size === list.length, { error: FREQUENCIES_TEXT })
        .meta({ uniqueItems: true })
        .optional()
        .describe(FREQUENCIES_TEXT),
      note: z.string({ error: NOTE_TEXT }).max(500, { error: NOTE_TEXT }).optional().describe(NOTE_TEXT),
    },
    { error: ENTRY_TEXT },
  )
  .refine(
    ({ kind, identity }) => kind === undefined || !DIGITS.test(identity) || kind === identityKind(identity),
    {
      path: ['kind'],
      error: KIND_TEXT,
    },
  )
  .describe(ENTRY_TEXT);

/** The entries of a book. */
export const entriesSchema = z
  .array(entrySchema, { error: 'a list of stations' })
  .max(10_000, { error: 'at most 10000 stations' })
  .describe('the stations, each name and each identity once');

/** A whole file. */
export const fileSchema = z
  .strictObject(
    {
      $schema: z.string({ error: 'the address of the schema' }).optional(),
      stations: entriesSchema,
    },
    { error: 'an address book: an object with a list of stations' },
  )
  .describe('Names and identities of stations');

/**
 * The JSON Schema (draft 2020-12) of an address book file. Beyond it, names and identities must each stand once,
 * `kind` must agree with the identity, and a name must not be nine digits.
 */
export function addressBookSchema(): Record<string, unknown> {
  return z.toJSONSchema(fileSchema);
}
