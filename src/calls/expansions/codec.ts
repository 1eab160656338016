/**
 * Expansions to sequences and back. A sequence is one or more expansions, an end of sequence and an error check
 * of its own (ITU-R M.821-1 §1, from memory and with doubt: whether several expansions share one end).
 */
import { DotphaseError, requireRecord } from '../../errors.js';
import { errorCheck } from '../../symbols/index.js';
import {
  FIELDS,
  isWhole,
  joinPosition,
  readField,
  requireSymbols,
  sameSymbols,
  splitPosition,
  writeField,
  writeWith,
} from '../fields/index.js';
import { hasValue, type Character, type Position } from '../values.js';
import { DATA_FIELDS, isData } from './fields.js';
import { DATA_REQUESTED, EXPANSION_TABLE, NO_DATA, type ExpansionRow } from './table.js';
import { DATA_WRITERS } from './writers.js';

type Values = Record<string, unknown>;

const PLACE = ['joined', 'eos'];

/** The row of a kind of expansion; throws a DotphaseError naming `path` where there is none. */
export function requireRow(kind: unknown, path: string): ExpansionRow {
  const row = EXPANSION_TABLE.find((candidate) => candidate.kind === kind);
  if (!row) {
    const kinds = EXPANSION_TABLE.map((candidate) => candidate.kind).join(', ');
    throw new DotphaseError(`${path}.kind`, kind, `one of ${kinds}, unassignedExpansion`);
  }
  return row;
}

function requireExpansions(value: unknown): Values[] {
  if (value === undefined) return [];
  if (!Array.isArray(value)) throw new DotphaseError('expansions', value, 'a list of expansions');
  return Array.from(value as unknown[], (expansion, i) => {
    if (typeof expansion !== 'object' || expansion === null || Array.isArray(expansion)) {
      throw new DotphaseError(`expansions[${i}]`, expansion, 'an expansion with its kind');
    }
    return expansion as Values;
  });
}

/** The specifiers with their data: a specifier begins each, and 110 or 126 right after one is its data. */
export function splitPieces(content: readonly number[]): number[][] {
  const pieces: number[][] = [];
  for (const symbol of content) {
    const piece = pieces.at(-1);
    const noData =
      (symbol === DATA_REQUESTED || symbol === NO_DATA) && piece?.length === 1 && !isData(piece[0]);
    if (piece && (isData(symbol) || noData)) piece.push(symbol);
    else pieces.push([symbol]);
  }
  return pieces;
}

function readPiece(symbols: readonly number[]): Values {
  const [specifier, ...data] = symbols;
  const row = EXPANSION_TABLE.find((candidate) => candidate.specifier === specifier);
  if (!row) return { kind: 'unassignedExpansion', symbols: [...symbols] };
  const { kind } = row;
  if (sameSymbols(data, [DATA_REQUESTED])) return { kind, value: 'requested' };
  if (sameSymbols(data, [NO_DATA])) return { kind, value: 'none' };
  return { kind, value: readField(DATA_FIELDS[kind], data) };
}

function writePiece(expansion: Values, path: string): Character[] {
  if (expansion.kind === 'unassignedExpansion') {
    requireRecord(expansion, path, ['kind', 'symbols', ...PLACE], 'an unassignedExpansion');
    return requireSymbols(expansion.symbols, `${path}.symbols`);
  }
  const row = requireRow(expansion.kind, path);
  const { value } = requireRecord(expansion, path, ['kind', 'value', ...PLACE], `a ${row.kind}`);
  if (value === 'requested') return [row.specifier, DATA_REQUESTED];
  if (value === 'none') return [row.specifier, NO_DATA];
  return [row.specifier, ...writeWith(DATA_WRITERS[row.kind], value, `${path}.value`)];
}

/** A call's position, at the top or in its message, and a function that replaces it. */
interface PositionPlace {
  readonly path: string;
  readonly position: Position;
  readonly replace: (position: Position) => Values;
}

function findPosition(values: Values): PositionPlace | undefined {
  const isPosition = (value: unknown): value is Position =>
    typeof value === 'object' && value !== null && hasValue(value);
  if (isPosition(values.position)) {
    return {
      path: 'position',
      position: values.position,
      replace: (position) => ({ ...values, position }),
    };
  }
  const message = values.message;
  if (
    typeof message === 'object' &&
    message !== null &&
    'position' in message &&
    isPosition(message.position)
  ) {
    return {
      path: 'message.position',
      position: message.position,
      replace: (position) => ({ ...values, message: { ...message, position } }),
    };
  }
  return undefined;
}

/**
 * A call's values as they are sent: where an expansion takes the ten-thousandths of a minute, the position is cut
 * off to the minute and the expansion holds the rest.
 */
export function splitFinePosition(values: Values): { values: Values; expansions: Values[] } {
  const expansions = requireExpansions(values.expansions);
  const isOpen = (expansion: Values) => expansion.kind === 'finePosition' && expansion.value === undefined;
  const open = expansions.findIndex(isOpen);
  if (open < 0) return { values, expansions };
  const found = findPosition(values);
  if (!found) {
    throw new DotphaseError(`expansions[${open}].value`, undefined, 'a value, as the call holds no position');
  }
  const { coarse, latitude, longitude } = splitPosition(found.position, found.path);
  return {
    values: found.replace(coarse),
    expansions: expansions.map((expansion) =>
      isOpen(expansion) ? { ...expansion, value: { latitude, longitude } } : expansion,
    ),
  };
}

/** A call's values with its position as precise as it is sent: to the minute, where no expansion takes the rest. */
export function asSent(values: Values): Values {
  const isOpen = ({ kind, value }: Values) => kind === 'finePosition' && value === undefined;
  const found = requireExpansions(values.expansions).some(isOpen) ? undefined : findPosition(values);
  return found ? found.replace(splitPosition(found.position, found.path).coarse) : values;
}

/** The reverse of {@link splitFinePosition}: the first finer position goes into the call's own. */
export function mergeFinePosition(values: Values): Values {
  const expansions = values.expansions as Values[];
  const found = findPosition(values);
  const at = expansions.findIndex(({ kind, value }) => {
    return kind === 'finePosition' && typeof value === 'object' && hasValue(value);
  });
  if (!found || at < 0) return values;
  const { value, ...open } = expansions[at];
  const { latitude, longitude } = value as { latitude: number; longitude: number };
  const position = joinPosition(found.position, latitude, longitude);
  return position ? { ...found.replace(position), expansions: expansions.with(at, open) } : values;
}

/**
 * The sequences of expansions, each from its first specifier through its end of sequence and error check.
 *
 * @param expansions - their values, from {@link splitFinePosition}
 * @param end - the call's end of sequence, null where not received
 */
export function writeExpansions(expansions: readonly Values[], end: Character): Character[][] {
  const sequences: { pieces: Character[][]; eos: Character[] }[] = [];
  expansions.forEach((expansion, i) => {
    const path = `expansions[${i}]`;
    if (expansion.joined !== undefined && expansion.joined !== true) {
      throw new DotphaseError(`${path}.joined`, expansion.joined, 'true or nothing');
    }
    const piece = writePiece(expansion, path);
    const eos =
      expansion.eos === undefined ? undefined : writeField({ kind: 'eos' }, expansion.eos, `${path}.eos`);
    const before = sequences.at(-1);
    if (!expansion.joined) sequences.push({ pieces: [piece], eos: eos ?? [end] });
    else if (before) {
      before.pieces.push(piece);
      before.eos = eos ?? before.eos;
    } else throw new DotphaseError(`${path}.joined`, true, 'nothing, as no expansion stands before it');
    requirePieces(sequences[sequences.length - 1].pieces.slice(-2), path);
  });
  return sequences.map(({ pieces, eos }) => {
    const content = [...pieces.flat(), ...eos];
    return [...content, isWhole(content) ? errorCheck(content) : null];
  });
}

/**
 * Throws unless the pieces read back unchanged: each begins at 100 or above and holds data below 100. How a piece reads
 * depends only on the one before it, so checking two at a time is enough.
 */
function requirePieces(pieces: readonly Character[][], path: string): void {
  const symbols = pieces.flat();
  if (!isWhole(symbols)) return;
  const back = splitPieces(symbols);
  if (back.length !== pieces.length || !back.every((piece, i) => sameSymbols(piece, pieces[i]))) {
    throw new DotphaseError(
      path,
      pieces.at(-1),
      'a specifier from 100 and data below 100, or 110 or 126 alone',
    );
  }
}

/**
 * The expansions that sequences spell.
 *
 * @param sequences - each from its first specifier through its end of sequence and error check
 * @param end - the call's end of sequence, null where not received
 * @throws DotphaseError when a sequence is too short, holds no symbols, or its error check disagrees
 */
export function readExpansions(
  sequences: readonly (readonly number[])[],
  end: Character,
  ignoreErrorCheck: boolean,
): Values[] {
  const given: unknown = sequences;
  if (!Array.isArray(given)) throw new DotphaseError('expansions', given, 'a list of sequences');
  return sequences.flatMap((sequence, s) => {
    const path = `expansions[${s}]`;
    const symbols = requireSymbols(sequence, path);
    if (symbols.length < 3) {
      throw new DotphaseError(path, symbols, 'a specifier, an end of sequence and an error check');
    }
    const content = symbols.slice(0, -1);
    if (!ignoreErrorCheck && errorCheck(symbols) !== 0) {
      throw new DotphaseError(
        `${path} error check`,
        symbols.at(-1),
        `${errorCheck(content)}, the exclusive-or of the characters before it`,
      );
    }
    const pieces = splitPieces(content.slice(0, -1));
    return pieces.map((piece, i) => ({
      ...readPiece(piece),
      ...(i > 0 && { joined: true }),
      ...(i === pieces.length - 1 && content.at(-1) !== end
        ? { eos: readField(FIELDS.eos, content.slice(-1)) }
        : {}),
    }));
  });
}
