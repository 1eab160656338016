/**
 * Writes src/calls/call.schema.json: the JSON Schema of calls, from the types, with the ranges that types cannot say; and
 * src/exam/paper.schema.json: that of the plans of papers, from what checks them.
 *
 * Run with `npx tsx tests/schema/generate.ts`.
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { format } from 'prettier';
import { createGenerator, type Schema } from 'ts-json-schema-generator';

import {
  CATEGORIES,
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../../src/symbols/index.js';
import { paperPlanSchema } from '../../src/exam/planschema.js';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** Where the schema lies. */
export const SCHEMA_FILE = here('../../src/calls/call.schema.json');

type Node = Record<string, unknown>;

const integer = (minimum: number, maximum: number): Node => ({ type: 'integer', minimum, maximum });
const number = (minimum: number, maximum: number): Node => ({ type: 'number', minimum, maximum });
const SYMBOL = integer(0, 127);
const TENTHS_OF_A_KNOT = number(0, 999.9);
const TENTHS_OF_A_DEGREE = number(0, 359.9);
const HUNDREDTHS_OF_A_MINUTE = number(0, 59.99);

/** Ranges by definition and property; a definition by itself where the property is empty. */
const RANGES: readonly [definition: string, property: string, range: Node][] = [
  ['Identity', '', { pattern: '^[0-9]{9}$' }],
  ['TimeOfDay', '', { pattern: '^([01][0-9]|2[0-3]):[0-5][0-9]$' }],
  ...['AutomaticCall', 'AutomaticAcknowledgement', 'IrregularAutomaticCall'].map(
    (definition): [string, string, Node] => [definition, 'telephone', { pattern: '^([0-9]{1,18}|none)$' }],
  ),
  ['Position', 'latitude', number(-90, 90)],
  ['Position', 'longitude', number(-180, 180)],
  ['Area', 'latitude', integer(-90, 90)],
  ['Area', 'longitude', integer(-180, 180)],
  ['Area', 'south', integer(0, 99)],
  ['Area', 'east', integer(0, 99)],
  ['Channel', 'hz', { type: 'integer', minimum: 0, maximum: 99_999_990, multipleOf: 10 }],
  ['Channel', 'channel', integer(0, 99_999)],
  ['Channel', 'vhfChannel', integer(0, 999)],
  ['Unassigned', 'unassigned', { items: SYMBOL }],
  ['UnassignedCall', 'symbols', { items: SYMBOL, minItems: 2 }],
  ['UnassignedExpansion', 'symbols', { items: SYMBOL, minItems: 1 }],
  ['FinePosition', 'latitude', integer(0, 9999)],
  ['FinePosition', 'longitude', integer(0, 9999)],
  ['PositionSource', 'resolutionMinutes', number(0, 9.9)],
  ['Speed', 'value', TENTHS_OF_A_KNOT],
  ['Course', 'value', TENTHS_OF_A_DEGREE],
  ['RefinedArea', 'latitudeMinutes', HUNDREDTHS_OF_A_MINUTE],
  ['RefinedArea', 'longitudeMinutes', HUNDREDTHS_OF_A_MINUTE],
  ['RefinedArea', 'southMinutes', HUNDREDTHS_OF_A_MINUTE],
  ['RefinedArea', 'eastMinutes', HUNDREDTHS_OF_A_MINUTE],
  ['RefinedArea', 'speed', TENTHS_OF_A_KNOT],
  ['RefinedArea', 'course', TENTHS_OF_A_DEGREE],
  ['PersonsOnBoard', 'value', integer(0, 9999)],
  ['FurtherIdentification', 'value', { pattern: '^([0-9A-Z.,/ -]{1,20}|requested|none)$' }],
];

/** The words that stand for each definition; the generator cannot follow the types from the tables of words. */
const WORDS: Readonly<Record<string, Vocabulary>> = {
  CategoryName: CATEGORIES,
  NatureName: NATURES,
  FirstTelecommandName: FIRST_TELECOMMANDS,
  SecondTelecommandName: SECOND_TELECOMMANDS,
  FollowOnName: FOLLOW_ONS,
  EndOfSequenceName: ENDS_OF_SEQUENCE,
};

/** Every property of that name below a node, whatever alternatives it stands in. */
function propertiesNamed(node: unknown, name: string): Node[] {
  if (Array.isArray(node)) return node.flatMap((item) => propertiesNamed(item, name));
  if (typeof node !== 'object' || node === null) return [];
  const { properties, ...rest } = node as Node & { properties?: Record<string, Node> };
  const own = properties && name in properties ? [properties[name]] : [];
  return [
    ...own,
    ...Object.values({ ...properties, ...rest }).flatMap((child) => propertiesNamed(child, name)),
  ];
}

/** Narrows the plain number, text or list in a node, which may be one of several alternatives. */
function narrow(node: Node, range: Node): void {
  const alternatives = (node.anyOf as Node[] | undefined) ?? [node];
  const plain = alternatives.find(({ type }) => ['number', 'string', 'array'].includes(String(type)));
  const types = alternatives.find(({ type }) => Array.isArray(type));
  if (plain) Object.assign(plain, range);
  else if (types) Object.assign(types, range, { type: types.type });
  else throw new Error(`nothing to narrow in ${JSON.stringify(node)}`);
}

/** The schema of any call. */
export function generateSchema(): Schema {
  const schema = createGenerator({
    path: here('../../src/calls/types.ts'),
    tsconfig: here('../../tsconfig.json'),
    type: 'Call',
    topRef: false,
    skipTypeCheck: true,
  }).createSchema('Call');
  const definitions = schema.definitions as Record<string, Node>;
  for (const [definition, { words }] of Object.entries(WORDS)) {
    Object.assign(definitions[definition], { type: 'string', enum: words.map((word) => word.name) });
  }
  for (const [definition, property, range] of RANGES) {
    const found =
      property === '' ? [definitions[definition]] : propertiesNamed(definitions[definition], property);
    if (found.length === 0) throw new Error(`no ${definition}.${property}`);
    for (const node of found) narrow(node, range);
  }
  for (const node of Object.values(definitions)) {
    for (const rest of propertiesNamed(node, 'rest')) narrow(rest, { items: SYMBOL });
  }
  return {
    $schema: schema.$schema,
    $id: 'dotphase:call',
    title: 'A DSC call',
    description: 'What encodeCall takes and decodeCall gives: ITU-R M.493 (from memory).',
    ...schema,
  };
}

/** The file's text. */
export function schemaText(): Promise<string> {
  return format(JSON.stringify(generateSchema()), { parser: 'json', printWidth: 110 });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(SCHEMA_FILE, await schemaText());
  const plan = await format(JSON.stringify(paperPlanSchema()), { parser: 'json', printWidth: 110 });
  writeFileSync(here('../../src/exam/paper.schema.json'), plan);
}
