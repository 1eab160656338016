/**
 * Four versions of one call, any of which may be sent.
 */
import { encodeCall, isUnassigned, type Call, type Identity } from '../../calls/index.js';
import { maritimeBand, type MaritimeBand } from '../../frequencies/index.js';
import { isCoastStation } from '../../procedures/index.js';
import { fieldsOf } from '../damage.js';
import { LEVELS } from '../levels.js';
import type { CallPlan } from '../plan.js';
import { kindText } from '../questions/content.js';
import { dutyOf } from '../questions/procedure.js';
import { alikeIdentities, type Four } from './alike.js';
import { belongsOn, communication, makeCall, variantsOf, type CallVariant } from './calls.js';
import type { Draw } from './draw.js';
import { drawContents, type CallContents } from './contents.js';

/** Maps four values to four others. */
export function four<From, To>(list: Four<From>, make: (item: From, index: number) => To): Four<To> {
  const [a, b, c, d] = list;
  return [make(a, 0), make(b, 1), make(c, 2), make(d, 3)];
}

/** What tells versions of different kinds apart: their kind, who acknowledges them, and what to do. */
type Traits = readonly (string | undefined)[];

const traitsOf = (call: Call, frequencyHz: number): Traits => {
  const duty = dutyOf(call, frequencyHz);
  return [kindText(call), duty?.due, duty?.next];
};

interface Candidate {
  readonly variant: CallVariant;
  readonly traits: Traits;
}

/** Four candidates that differ from each other, the chosen ones among them. */
function search(
  chosen: readonly Candidate[],
  rest: readonly Candidate[],
  differ: (a: Traits, b: Traits) => boolean,
): readonly Candidate[] | undefined {
  if (chosen.length === 4) return chosen;
  for (const [i, next] of rest.entries()) {
    if (!chosen.every(({ traits }) => differ(traits, next.traits))) continue;
    const found = search([...chosen, next], rest.slice(i + 1), differ);
    if (found) return found;
  }
  return undefined;
}

/** The variants whose calls belong on a DSC frequency, and their calls. */
export function heardOn(
  variants: readonly CallVariant[],
  contents: CallContents,
  frequencyHz: number,
): { variant: CallVariant; call: Call }[] {
  const band = maritimeBand(frequencyHz) ?? 'VHF';
  return variants
    .map((variant) => ({ variant, call: makeCall(variant, contents, band) }))
    .filter(({ call }) => belongsOn(call, frequencyHz));
}

/**
 * Four variants of different kinds, preferably such that who acknowledges them and what to do differs too.
 *
 * @param first - stands first among them, where given
 * @param pool - what they are chosen from
 * @returns undefined where the pool has too few
 */
export function drawKinds(
  draw: Draw,
  first: Call | undefined,
  pool: readonly CallVariant[],
  contents: CallContents,
  frequencyHz: number,
): readonly CallVariant[] | undefined {
  const candidates = draw
    .shuffle(heardOn(pool, contents, frequencyHz))
    .map(({ variant, call }) => ({ variant, traits: traitsOf(call, frequencyHz) }));
  // The variant of a given call is never used.
  const given: Candidate[] =
    first === undefined
      ? []
      : [{ variant: { kind: 'distressAlert', to: 'many' }, traits: traitsOf(first, frequencyHz) }];
  const found =
    search(given, candidates, (a, b) => a.every((trait, i) => trait !== undefined && trait !== b[i])) ??
    search(given, candidates, (a, b) => a[0] !== b[0]);
  return found?.slice(given.length).map(({ variant }) => variant);
}

/** Fields whose loss can be asked about, those first that hurt most. */
const DAMAGED = ['casualty', 'nature', 'position', 'time', 'self', 'to', 'message', 'followOn'];

/** A damaged field for each of four versions of a call; each another, where the call has so many. */
export function drawDamage(draw: Draw, call: Call, given?: string): Four<string> {
  const has = fieldsOf(encodeCall(call).symbols).map(({ field }) => field);
  const fields = DAMAGED.filter((name) => has.includes(name));
  const [first, ...others] =
    given === undefined
      ? draw.shuffle(fields.slice(0, 4))
      : [given, ...fields.filter((name) => name !== given)];
  const at = (i: number) => others.at(i % Math.max(1, others.length)) ?? first;
  return [first, at(0), at(1), at(2)];
}

const asRead = (identity: Identity | object | undefined) =>
  typeof identity === 'string' && /^\d{9}$/.test(identity) ? identity : undefined;

/** The same call with other contents. */
function retell(call: Call, contents: CallContents, version: number, band: MaritimeBand): Call {
  const alike = (identity: string) => alikeIdentities(identity)[version];
  const self = 'self' in call ? asRead(call.self) : undefined;
  const casualty = 'casualty' in call ? asRead(call.casualty) : undefined;
  const called =
    'to' in call && typeof call.to === 'object' && 'station' in call.to ? asRead(call.to.station) : undefined;
  const channel =
    call.kind === 'urgencyCall' || call.kind === 'safetyCall'
      ? contents.announced
      : isCoastStation(self)
        ? contents.duplex
        : contents.simplex;
  const isUnable = 'telecommand1' in call && call.telecommand1 === 'unable';
  const hasChannel =
    'message' in call && 'receive' in call.message && call.message.receive !== 'none' && !isUnable;
  return {
    ...call,
    ...(self !== undefined && { self: alike(self) }),
    ...('casualty' in call && { casualty: casualty === undefined ? contents.ship : alike(casualty) }),
    ...(called !== undefined && { to: { station: alike(called) } }),
    ...('nature' in call && { nature: contents.nature }),
    ...('position' in call && 'time' in call && !isUnassigned(call.position)
      ? { position: contents.position, time: contents.time }
      : {}),
    ...(isUnable && { telecommand2: contents.reason }),
    ...(hasChannel && { message: communication(channel, band).message }),
  };
}

const ALL_VARIANTS = LEVELS[2].kinds.flatMap(variantsOf);
const isDistress = ({ kind }: { kind: string }) => /[dD]istress|ownAlert/.test(kind);

/** The variants that a call is told apart from: those about distress for one of them, all others for others. */
export function poolFor(
  call: { kind: string },
  variants: readonly CallVariant[] = ALL_VARIANTS,
): CallVariant[] {
  return variants.filter((variant) => isDistress(variant) === isDistress(call));
}

/**
 * Three versions beside a call that a plan gives: of other kinds, or of the same kind with other contents where it is
 * damaged or no other kinds are heard there.
 */
export function versionsOf(draw: Draw, plan: CallPlan, frequencyHz: number): Four<CallPlan> {
  const { call, damaged = [] } = plan;
  const band = maritimeBand(frequencyHz) ?? 'VHF';
  const self = 'self' in call ? asRead(call.self) : undefined;
  const casualty = 'casualty' in call ? asRead(call.casualty) : undefined;
  const isFromCoast = isCoastStation(self);
  const contents = drawContents(
    draw,
    band,
    {
      ship: casualty ?? (isFromCoast ? undefined : self),
      coast: isFromCoast ? self : undefined,
      nature: 'nature' in call && typeof call.nature === 'string' ? call.nature : undefined,
      position:
        'position' in call && call.position !== 'none' && !isUnassigned(call.position)
          ? call.position
          : undefined,
      time: 'time' in call && typeof call.time === 'string' && call.time !== 'none' ? call.time : undefined,
    },
    damaged.includes('position'),
  );
  const variants =
    damaged.length > 0 ? undefined : drawKinds(draw, call, poolFor(call), contents[0], frequencyHz);
  const damage = damaged.length === 0 ? undefined : drawDamage(draw, call, damaged[0]);
  return four(contents, (own, i): CallPlan => {
    if (i === 0) return plan;
    const variant = variants?.[i - 1];
    return {
      ...plan,
      call: variant ? makeCall(variant, own, band) : retell(call, own, i, band),
      ...(damage && { damaged: [damage[i]] }),
    };
  });
}
