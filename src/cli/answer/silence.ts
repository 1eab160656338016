/**
 * Why an answering station stays silent.
 */
import { isReceivedWhole, type Identity } from '../../calls/index.js';
import {
  addressedOf,
  reachOf,
  receivedKind,
  roleOf,
  rulingOn,
  type Addressed,
  type RuleName,
} from '../../procedures/index.js';
import type { ReceivedCall } from '../../receiver/index.js';

/** From the addressee who is meant most to the one who is not. */
const MEANT: readonly Addressed[] = ['me', 'group', 'all', 'other'];

/**
 * The rule by which none of the identities answers a call by itself; undefined where one does, or where it was sent in
 * the name of one of them.
 */
export function whySilent(
  { call, quality }: Pick<ReceivedCall, 'call' | 'quality'>,
  frequencyHz: number,
  identities: readonly Identity[],
): RuleName | undefined {
  if (quality === 'doubtful' || !isReceivedWhole(call)) return 'doubtful';
  const sender = 'self' in call && typeof call.self === 'string' ? call.self : undefined;
  if (sender === undefined || 'rest' in call || 'eos' in call) return 'irregular';
  if (identities.includes(sender)) return undefined;
  const addressed = (identity: Identity) => addressedOf(call, { identity, groups: [] });
  const rank = (identity: Identity) => MEANT.indexOf(addressed(identity));
  const [identity] = [...identities].sort((a, b) => rank(a) - rank(b));
  const { verdict, rule } = rulingOn('answer', {
    role: roleOf(identity),
    received: receivedKind(call),
    addressed: addressed(identity),
    reach: reachOf(frequencyHz),
    from: roleOf(sender),
    acknowledged: 'nobody',
    sure: true,
  });
  return verdict === 'must' ? undefined : rule;
}
