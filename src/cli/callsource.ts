/**
 * The call that a command is about: a kind with flags, or JSON.
 */
import { CALL_KINDS, type TableKind } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { callFromFlags, givenCallFlags, wantsOwnPosition } from './callflags.js';
import { givenCall, parseCallJson, type GivenCall } from './calljson.js';
import { STANDARD_STREAM, lookInto, readStandardInput } from './input.js';
import type { Profile } from './profile/profile.js';
import { findWord, kebab } from './words.js';

/** Whether a word looks like the name of a file and not like a kind of call. */
const FILE_NAME = /[./\\]/;

/** The kind of call that a person named, or undefined. */
export const findKind = (text: string) => findWord(text, CALL_KINDS);

/** Throws where flags of fields stand beside a call that has its fields already. */
export function refuseCallFlags(flags: object, source: string): void {
  const flag = givenCallFlags(flags as Record<string, unknown>).at(0);
  if (flag !== undefined) {
    throw new DotphaseError(flag, source, 'a kind of call beside the flags of its fields');
  }
}

/** JSON of a call begins so, and no name of a file. */
const INLINE = /^\s*\{/;

/** A call from its kind and flags. */
async function callOfKind(kind: TableKind, flags: object, profile: Profile): Promise<SourcedCall> {
  const given = flags as Record<string, unknown>;
  const position = wantsOwnPosition(kind, given) ? await profile.position() : undefined;
  const call = callFromFlags(kind, given, {
    identity: profile.identity,
    station: (typed) => profile.station(typed),
    position: position && { position: position.position, time: position.time },
  });
  return { ...givenCall(call), ...(position && { told: position.told }) };
}

/** A call, and a remark about where it came from. */
export type SourcedCall = GivenCall & { readonly told?: string };

/**
 * The call that a kind and its flags, JSON as it is, a JSON file or standard input (`-`) give.
 *
 * @throws DotphaseError naming what is wrong
 */
export async function callOf(source: string, flags: object, profile: Profile): Promise<SourcedCall> {
  const kind = findKind(source);
  if (kind !== undefined) return callOfKind(kind, flags, profile);
  if (source === STANDARD_STREAM) {
    refuseCallFlags(flags, source);
    return parseCallJson(await readStandardInput(), 'standard input');
  }
  if (INLINE.test(source)) {
    refuseCallFlags(flags, source);
    return parseCallJson(source, 'call');
  }
  if (!FILE_NAME.test(source)) {
    const kinds = CALL_KINDS.map(kebab).join(', ');
    throw new DotphaseError('call', source, `a kind of call (${kinds}), a JSON file or -`);
  }
  refuseCallFlags(flags, source);
  const found = await lookInto(source);
  if (found.isRecording) throw new DotphaseError(source, 'an audio file', 'a call in JSON');
  return parseCallJson(found.text, source);
}

/**
 * What the command line names as the call: with `--json` standard input where nothing is named.
 *
 * @throws DotphaseError where nothing is named, or a kind of call beside `--json`
 */
export function sourceOf(source: string | undefined, json: boolean): string {
  if (source === undefined && !json)
    throw new DotphaseError('call', NOTHING, 'a kind of call, a JSON file or -');
  const given = source ?? STANDARD_STREAM;
  if (json && findKind(given) !== undefined)
    throw new DotphaseError('--json', given, 'a call in JSON, a file with one, or -');
  return given;
}
