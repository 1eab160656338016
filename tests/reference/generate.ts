/**
 * Writes docs/reference.md and docs/reference/*.svg from the call tables, and docs/pages/rules.md from the table of rules.
 *
 * Run with `npx tsx tests/reference/generate.ts`.
 */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { format } from 'prettier';
import { addressField, describeCall, type Call } from '../../src/calls/index.js';
import { RULES } from '../../src/calls/check/rules.js';
import { EXPANSION_TABLE, EXPANSION_TEXTS } from '../../src/calls/expansions/index.js';
import { fieldOf, type Field } from '../../src/calls/fields/index.js';
import { VOCABULARIES as WORDS } from '../../src/calls/phrases/words.js';
import { formOf } from '../../src/calls/forms.js';
import { CALL_TABLE, type CallRow, type Slot } from '../../src/calls/table.js';
import { REPEAT_TABLE, STATION_TABLE, type TableRow } from '../../src/procedures/index.js';
import { RULES as PROCEDURE_RULES } from '../../src/procedures/texts/index.js';
import { PHASING_RX, frameCall } from '../../src/frames/index.js';
import {
  CATEGORIES,
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  FORMATS,
  NATURES,
  SECOND_TELECOMMANDS,
  bitsToLetters,
  symbolToBits,
  type Vocabulary,
} from '../../src/symbols/index.js';
import { CASES, numbers, type VectorCase } from '../vectors/cases.js';
import { drawSequence, type Stretch } from './drawing.js';

const DOCS = fileURLToPath(new URL('../../docs/', import.meta.url));

const VOCABULARIES: readonly (readonly [string, Vocabulary])[] = [
  ['Format specifier', FORMATS],
  ['Category', CATEGORIES],
  ['Nature of distress', NATURES],
  ['First telecommand', FIRST_TELECOMMANDS],
  ['Second telecommand', SECOND_TELECOMMANDS],
  ['Communication that follows', FOLLOW_ONS],
  ['End of sequence', ENDS_OF_SEQUENCE],
];

/** `distressAlert` as `Distress alert`. */
function titleOf(kind: string): string {
  const words = kind.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return words[0].toUpperCase() + words.slice(1);
}

function table(head: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const line = (cells: readonly (string | number)[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** How many characters a field takes, over all its shapes. */
function lengthOf(field: Field): string {
  const lengths = field.shapes().map((shape) => shape.length);
  const [least, most] = [Math.min(...lengths), Math.max(...lengths)];
  return least === most ? String(least) : `${least} to ${most}`;
}

function contentOf(slot: Slot): string {
  const { name, label, kind, constant } = slot;
  if (name === undefined) {
    const words = VOCABULARIES.find(([heading]) => heading.toLowerCase() === label)?.[1];
    const text = words?.bySymbol(constant?.[0] ?? -1)?.text;
    return text === undefined ? formOf(slot) : `${formOf(slot)} ${text}`;
  }
  const words = (WORDS as Partial<Record<string, Vocabulary>>)[kind];
  const heading = VOCABULARIES.find(([, each]) => each === words)?.[0];
  return heading === undefined ? formOf(slot) : `one of the words under [${heading}](#${anchor(heading)})`;
}

const anchor = (heading: string) => heading.toLowerCase().replaceAll(' ', '-');

function word(vocabulary: Vocabulary, name: string): string {
  const found = vocabulary.byName(name);
  return found ? `${found.symbol} ${found.text}` : name;
}

function layoutOf(row: CallRow): string {
  const formats = row.formats.map((name) => word(FORMATS, name)).join('; ');
  const addresses = row.formats.flatMap((name) => {
    const field = addressField(name);
    return field
      ? [`${name === 'area' ? 'area' : name === 'group' ? 'group' : 'station'}: ${formOf(field)}`]
      : [];
  });
  const ends = [...new Set(row.formats.map((name) => word(ENDS_OF_SEQUENCE, row.eos(name))))];
  const endText =
    ends.length === 1
      ? ends[0]
      : row.formats.map((name) => `${word(ENDS_OF_SEQUENCE, row.eos(name))} to ${name}`).join('; ');
  return table(
    ['field', 'property', 'characters', 'content'],
    [
      ['format specifier', '', '2', `${formats}; sent twice, counted once in the error check`],
      ...(addresses.length > 0
        ? [
            [
              'address',
              '`to`',
              row.formats.every((name) => addressField(name)) ? '5' : '0 or 5',
              [...new Set(addresses)].join('; '),
            ],
          ]
        : []),
      ...row.slots.map((slot) => [
        slot.label,
        slot.name ? `\`${slot.name}\`` : '',
        lengthOf(fieldOf(slot)),
        contentOf(slot),
      ]),
      ['end of sequence', '', '1', endText],
      [
        'error check',
        '',
        '1',
        'the exclusive-or of one format specifier and all that stands between it and here',
      ],
      ['end of sequence', '', '2', 'twice again'],
    ],
  );
}

/** The fields of a call's information characters, each with how many it takes. */
function stretchesOf(row: CallRow, characters: readonly number[]): Stretch[] {
  const body = characters.slice(0, -2);
  const name = FORMATS.bySymbol(characters[0])?.name;
  const address = name && addressField(name);
  const slots = [
    ...(address ? [{ label: 'address', field: address }] : []),
    ...row.slots.map((slot) => ({ label: slot.label, field: fieldOf(slot) })),
  ];
  let at = 1;
  const fields = slots.map(({ label, field }) => {
    const count = field.lengthAt(body, at);
    at += count;
    return { label, count };
  });
  return [
    { label: 'format specifier', count: 2 },
    ...fields.filter(({ count }) => count > 0),
    { label: 'end of sequence', count: 1 },
    { label: 'error check', count: 1 },
    { label: 'end of sequence', count: 2 },
  ];
}

function exampleOf(kind: string): VectorCase {
  const example = CASES.find(({ call }) => call.kind === kind);
  if (!example) throw new Error(`no example of ${kind}`);
  return example;
}

function drawingOf(row: CallRow): string {
  const { characters, band, dots } = exampleOf(row.kind);
  const sequence = frameCall(numbers(characters), { band, dots });
  const title = `${titleOf(row.kind)} on ${band === 'vhf' ? 'VHF, 1200 Bd' : 'MF and HF, 100 Bd'}`;
  return drawSequence(title, sequence, stretchesOf(row, numbers(characters)));
}

function chapterOf(row: CallRow): string {
  const { call, characters } = exampleOf(row.kind);
  return [
    `### ${titleOf(row.kind)}`,
    `\`kind: '${row.kind}'\``,
    layoutOf(row),
    `Example: ${describeCall(call)} Its characters: ${characters}.`,
    `![${titleOf(row.kind)} on the air](reference/${row.kind}.svg)`,
    '```json\n' + JSON.stringify(call satisfies Call, undefined, 2) + '\n```',
  ].join('\n\n');
}

/** Sounds of the site, and what is heard in them. */
const PART_SOUNDS = [
  ['dots', 'Dot pattern: 200 bits'],
  ['phasing', 'Phasing: six characters of DX and eight of RX'],
  ['format', 'Format specifier: 112 four times, twice in DX and twice in RX; heard three times'],
  ['content', 'Content: who, what, where, when, how to go on; each character twice'],
  ['eos', 'End of sequence: 127 four times; heard three times'],
  ['ecc', 'Error check: one character twice; heard three times'],
] as const;

const CERTAINTY = { likely: 'likely', uncertain: 'uncertain' } as const;

function page(): string {
  const letters = (symbol: number) => bitsToLetters(symbolToBits(symbol)).replace(/(.{7})/, '$1 ');
  return [
    '<!-- Made by tests/reference/generate.ts from the call tables: do not edit. -->',
    '# Reference of calls',
    'Every kind of call as ITU-R M.493 lays it out, made from the tables that the package encodes and decodes with. The recommendation could not be consulted while this was written: all of it is from memory, and what is remembered with doubt says so (“likely”, “uncertain”).',
    '> **Caution.** Never feed distress, urgency or safety audio to a transmitter on the air: use a cable or a dummy load. A decoded distress alert is not a watch. Follow the rules of your administration. If a false alert goes out, cancel it by the published procedure.',
    '## The sequence',
    'A symbol has ten bits: seven carry its number from 0 to 127, least significant first, and three say how many of the seven are B, most significant first. B is the higher tone, Y the lower; Y counts as 1. Numbers 0 to 99 carry two decimal digits.',
    table(
      ['symbol', 'bits'],
      [0, 1, 104, 111, 112, 117, 120, 125, 127].map((symbol) => [symbol, `\`${letters(symbol)}\``]),
    ),
    `A dot pattern of alternating B and Y comes first: 200 bits on MF and HF before distress alerts, their acknowledgements and relays and every call to a ship; 20 bits before calls to coast stations, before acknowledgements of individual calls, and on VHF (the exact list is remembered as likely). Then DX and RX slots alternate. DX opens with 125 six times, RX with ${PHASING_RX.join(', ')}: the phasing. Then DX carries the characters, and RX carries each again two pairs of slots later, so that four characters lie between the two: 400 ms at 100 Bd, 33⅓ ms at 1200 Bd. DX ends with the end of sequence, the error check and the end of sequence twice; RX with the end of sequence and the error check.`,
    'A receiver knows where it stands after two DX and one RX, one DX and two RX, or three RX phasing characters in their places. It takes each character from DX where its check bits agree, else from RX. A distress alert or a call to all ships counts only with its format specifier read twice; for the others once is enough. The error check is the bitwise exclusive-or of one format specifier, the body and one end of sequence.',
    'A distress attempt on one frequency is five alerts in a row without a gap. The dot pattern stands before each (JP567 speaks of no gap “between the last signal of one alert and the dot signal of the next”), so that it lasts 36.0 s; before the first alone, 28.0 s, it may stand on frequencies that are not exclusive to DSC. Both are received.',
    'The six parts of a distress alert on MF or HF, each alone:',
    ...PART_SOUNDS.map(([file, words]) => `[${words}](sounds/part-${file}.wav)`),
    '## Words',
    ...VOCABULARIES.flatMap(([heading, { words }]) => [
      `### ${heading}`,
      table(
        ['symbol', 'word', 'meaning'],
        words.map(({ symbol, name, text, certainty }) => [
          symbol,
          `\`${name}\``,
          certainty ? `${text} (${CERTAINTY[certainty]})` : text,
        ]),
      ),
    ]),
    '## Kinds of call',
    'Characters are counted in DX. Each kind takes `expansions` besides; `eos` and `rest` stand only in calls that came with another end of sequence, or more characters, than the tables have. A field whose symbols are not assigned reads as `{ unassigned: [ … ] }`.',
    ...CALL_TABLE.map(chapterOf),
    '### What no table has',
    'A sequence that is built like a call, though no table has it, such as a routine call to all ships, reads as `irregularCall`, `irregularAutomaticCall` or `irregularDistressCall`, with its `category` or `telecommand1` beside the other fields; any other as `unassignedCall` with its `symbols`. All of them are sent again as they came, and checking says what is wrong about them.',
    '## Expansions',
    "ITU-R M.821 lets a call be followed by more: a specifier and its data each, then an end of sequence, an error check and the end of sequence twice, going on in the same slots. A data character of 110 asks for the data, 126 says there are none. How expansions follow is remembered with doubt. By default each is a sequence of its own behind the two ends of sequence that close what comes before; one that is `joined` shares its end with the one before it, and framing with `expansionsAfter: 'check'` lets them follow right behind the error check. All of these are read.",
    table(
      ['specifier', 'kind', 'what', 'data', 'layout'],
      EXPANSION_TABLE.map(({ specifier, kind }) => [
        specifier,
        `\`${kind}\``,
        EXPANSION_TEXTS[kind].text,
        formOf({ kind }),
        CERTAINTY[EXPANSION_TEXTS[kind].certainty],
      ]),
    ),
    'With a `finePosition` the position of the call is cut off to the minute and the expansion carries the ten-thousandths of a minute; reading puts them together again.',
    '## Sentences',
    'For chart systems and other instruments (IEC 61162-1, from memory) `toSentences` writes a received call as `$CDDSC` and its expansions as `$CDDSE`; `fromSentences` reads them from any talker. Service commands lose their hundred; what has no information is empty. The address is taken to be the station that sent the call, with its trailing 0; whom the call was for is not carried, so reading an individual, group or area call needs it (`to`).',
    table(
      ['field of DSC', 'distress alert', 'other distress calls', 'all others'],
      [
        ['1', 'format specifier', 'format specifier', 'format specifier'],
        ['2', 'self-identification', 'self-identification', 'self-identification'],
        ['3', 'category, 12', 'category, 12', 'category'],
        ['4', 'nature of distress', 'first telecommand', 'first telecommand'],
        ['5', 'communication that follows', 'communication that follows', 'second telecommand'],
        ['6', 'position', 'position', 'frequencies, channels or position'],
        ['7', 'time', 'time', 'time, or telephone number'],
        ['8', '', 'ship in distress, empty if unknown', ''],
        ['9', '', 'nature of distress', ''],
        ['10', 'R, B or S: acknowledgement requested, given, or neither', 'likewise', 'likewise'],
        ['11', 'E where DSE sentences follow', 'likewise', 'likewise'],
      ],
    ),
    'A DSE sentence holds how many there are, its number, A (sent by itself) or Q (asked for), the self-identification, and then pairs of a specifier without its hundred and its data in digits; no digits mean that they are asked for, or that there are none. Nine sentences at most.',
    '## Rules',
    'What `checkCall` asks of a call. Symbols must have an assigned meaning in their field, and:',
    RULES.map(({ name }) => `- ${name}`).join('\n'),
    '',
  ].join('\n\n');
}

/** `acknowledgedBy` as `acknowledged by`. */
const wordsOf = (name: string) => name.replace(/(?<=[a-z])[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
const VERDICTS = { must: 'must', may: 'may', mustNot: 'must not' } as const;

function minutesOf(wait: number | string | undefined): string {
  if (wait === undefined) return '';
  if (typeof wait === 'string') return `${wordsOf(wait).replace(' ms', '')} (set by the user)`;
  return wait < 60_000 ? `${wait / 1000} s` : `${wait / 60_000} min`;
}

function conditionsOf({ when, needs, to }: TableRow): string {
  const parts = Object.entries(when).map(([part, values]) => {
    const list = (values as readonly unknown[]).map((value) => wordsOf(String(value))).join(' or ');
    return part === 'sure' ? 'read with doubt' : `${part}: ${list}`;
  });
  return [...parts, ...(needs ? [`only if ${needs}`] : []), ...(to ? [`to a ${wordsOf(to)}`] : [])].join(
    '; ',
  );
}

function rulesPage(): string {
  return [
    '# What each rule rests on',
    'Procedures, choices, explanations and questions of papers read from one table of what a station may and must do about what it received. This page is made from it. M541-8 is ITU-R M.541-8 Annexes 1 and 2, FCC80 is 47 CFR Part 80, C25 is IMO COMSAR/Circ.25 (superseded by MSC.1/Circ.1657 from 2024), JP567 is Notification 567 of 1990 of the Japanese Ministry of Posts and Telecommunications, NAVCEN are the pages of the US Coast Guard Navigation Center on digital selective calling: these could be read. What is cited “from memory” could not.',
    '## What a station may and must do',
    'Of the rows of a deed the first that fits counts; what no row names is not done. A ship is every station that is no coast station. Times count from when the call was first received.',
    table(
      ['deed', 'when', '', 'from', 'by', 'rule'],
      STATION_TABLE.map((row) => [
        row.deeds.map(wordsOf).join(', '),
        conditionsOf(row),
        VERDICTS[row.verdict],
        minutesOf(row.from),
        minutesOf(row.until),
        wordsOf(row.rule),
      ]),
    ),
    '## When a call that nobody answered is sent again',
    table(
      ['station', 'category', 'after attempt', 'wait', 'most in 24 hours', 'rule'],
      REPEAT_TABLE.map(({ role, category, attempts, wait, mostInADay = '', rule }) => [
        wordsOf(role),
        category,
        attempts,
        minutesOf(wait),
        mostInADay,
        wordsOf(rule),
      ]),
    ),
    '## The rules',
    'Established: confirmed by a text that could be read, or well known. Likely: remembered, not cross-checked. Uncertain: editions differ, or memory is weak. Practice: common practice, no source.',
    table(
      ['rule', 'in a sentence', 'source', 'certainty'],
      Object.entries(PROCEDURE_RULES).map(([name, { text, source, certainty }]) => [
        wordsOf(name),
        text,
        source,
        certainty,
      ]),
    ),
    '',
  ].join('\n\n');
}

const markdown = (text: string) => format(text, { parser: 'markdown', printWidth: 110, singleQuote: true });

/** Every file by its path below docs/. */
export async function referenceFiles(): Promise<Map<string, string>> {
  return new Map([
    ['reference.md', await markdown(page())],
    ['pages/rules.md', await markdown(rulesPage())],
    ...CALL_TABLE.map((row): [string, string] => [`reference/${row.kind}.svg`, drawingOf(row)]),
  ]);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  rmSync(`${DOCS}reference`, { recursive: true, force: true });
  mkdirSync(`${DOCS}reference`, { recursive: true });
  for (const [path, content] of await referenceFiles()) writeFileSync(DOCS + path, content);
}
