/**
 * What happened, in order: what was sent and received, what the procedures said, and by which rule.
 */
import { describeCall, describeReceived, formatIdentity, type Identity } from 'dotphase';
import { formatFrequency } from 'dotphase/frequencies';
import type { RuleName } from 'dotphase/procedures';
import { createAttemptNumbering } from 'dotphase/receiver';
import { describeNotice, describeRefusal } from 'dotphase/procedures/texts';
import type { ComponentChildren } from 'preact';
import { Reading } from '../strip/reading.js';
import { RuleLine } from './choices.js';
import { sayWatch } from './say.js';
import type { Moment } from './session.js';

interface Line {
  readonly side: 'own' | 'other' | 'told';
  readonly title: string;
  readonly text: string;
  readonly rule?: RuleName | undefined;
  readonly more?: ComponentChildren;
}

/** Where it was heard, and how a person is told why nothing is answered. */
export type WhySilent = (moment: Extract<Moment, { type: 'received' }>) => RuleName | undefined;

/** Received calls of one attempt by the id of the first of them: all their ids. */
function attemptsOf(moments: readonly Moment[]): ReadonlyMap<number, readonly number[]> {
  const number = createAttemptNumbering();
  const firsts = new Map<number, number>();
  const found = new Map<number, number[]>();
  for (const moment of moments) {
    if (moment.type !== 'received') continue;
    const { id: attempt } = number(moment.received, moment.frequencyHz);
    const first = firsts.get(attempt) ?? moment.id;
    firsts.set(attempt, first);
    found.set(first, [...(found.get(first) ?? []), moment.id]);
  }
  return found;
}

function lineOf(
  moment: Moment,
  sendings: number,
  describe: (identity: Identity) => string,
  whySilent: WhySilent,
): Line | undefined {
  const sentence = (call: Parameters<typeof describeCall>[0]) => describeCall(call, { station: describe });
  switch (moment.type) {
    case 'sending': {
      const { call, frequencyHz, seconds, repeat, rule } = moment;
      const times = repeat > 1 ? `, ${repeat} times` : '';
      return {
        side: 'own',
        title: `Sent on ${formatFrequency(frequencyHz)}, ${seconds.toFixed(1)} s${times}`,
        text: sentence(call),
        rule,
      };
    }
    case 'ceased':
      return { side: 'own', title: 'Broken off', text: sentence(moment.call) };
    case 'received': {
      const { received, frequencyHz } = moment;
      const why = whySilent(moment);
      return {
        side: 'other',
        title: `Heard on ${formatFrequency(frequencyHz)}, ${received.quality}${sendings > 1 ? `, ${sendings} sendings of one attempt` : ''}`,
        text: sentence(received.call),
        more: (
          <>
            {why && (
              <p class="silent">
                <b>Not answered by DSC.</b> <RuleLine rule={why} />
              </p>
            )}
            <details>
              <summary>Every character</summary>
              <Reading received={received} />
            </details>
          </>
        ),
      };
    }
    case 'lost':
      return { side: 'told', title: 'A call began and could not be read', text: moment.reason };
    case 'voice': {
      const where = moment.frequencyHz === undefined ? '' : ` on ${formatFrequency(moment.frequencyHz)}`;
      return { side: 'other', title: `${describe(moment.station)} says${where}`, text: `“${moment.text}”` };
    }
    case 'action': {
      const { action } = moment;
      if (action.type === 'tell')
        return { side: 'told', title: '', text: describeNotice(action), rule: action.rule };
      if (action.type === 'refuse') {
        return { side: 'told', title: 'Not done', text: describeRefusal(action), rule: action.rule };
      }
      if (action.type === 'watch') {
        return { side: 'told', title: 'Set watch', text: sayWatch(action), rule: action.rule };
      }
      return undefined;
    }
    default:
      return undefined;
  }
}

export function Moments({
  moments,
  describe = formatIdentity,
  whySilent,
}: {
  moments: readonly Moment[];
  describe?: (identity: Identity) => string;
  whySilent: WhySilent;
}) {
  const heard = new Set(
    moments.flatMap((each) => (each.type === 'received' ? [describeReceived(each.received)] : [])),
  );
  const attempts = attemptsOf(moments);
  const lines = moments.flatMap((moment) => {
    const sendings = attempts.get(moment.id)?.length ?? 0;
    if (moment.type === 'received' && sendings === 0) return [];
    // What was heard stands there already.
    const isTold =
      moment.type === 'action' && moment.action.type === 'tell' && heard.has(describeNotice(moment.action));
    if (isTold) return [];
    const line = lineOf(moment, sendings, describe, whySilent);
    return line ? [{ moment, line }] : [];
  });
  return (
    <ol class="moments">
      {lines.map(({ moment, line }) => (
        <li key={moment.id} class={line.side}>
          <time class="when" dateTime={new Date(moment.time).toISOString()}>
            {new Date(moment.time).toISOString().slice(11, 19)}
          </time>
          <div>
            {line.title !== '' && <b>{line.title}</b>}
            <p class="what">{line.text}</p>
            {line.rule && (
              <p>
                <RuleLine rule={line.rule} />
              </p>
            )}
            {line.more}
          </div>
        </li>
      ))}
    </ol>
  );
}
