/**
 * An event of a simulation as JSON for `rehearse --json`: with the words of its rule, and what is told, offered and
 * follows in words.
 */
import { followUpOf } from '../../frequencies/index.js';
import {
  RULES,
  describeCancellation,
  describeChoice,
  describeNotice,
  describeRefusal,
} from '../../procedures/texts/index.js';
import type { SimulationEvent } from '../../simulation/index.js';

type Action = Extract<SimulationEvent, { type: 'action' }>['action'];

function wordsOf(action: Action): Readonly<Record<string, unknown>> {
  switch (action.type) {
    case 'tell':
      return { text: describeNotice(action) };
    case 'refuse':
      return { text: describeRefusal(action) };
    case 'offer':
      return {
        choices: action.choices.map((choice) => ({
          ...choice,
          text: describeChoice(choice),
          rule: RULES[choice.rule],
        })),
      };
    case 'watch':
      return {
        followUp: followUpOf(action.call, action.frequencyHz, action.side),
        ...(action.say && { say: describeCancellation(action.say) }),
      };
    case 'phase':
      return {};
  }
}

/** One line of JSON. */
export function eventJson(event: SimulationEvent): string {
  switch (event.type) {
    case 'action': {
      const { action } = event;
      return JSON.stringify({
        ...event,
        action: { ...action, ...wordsOf(action), rule: RULES[action.rule] },
      });
    }
    case 'sending':
      return JSON.stringify({ ...event, rule: RULES[event.rule] });
    default:
      return JSON.stringify(event);
  }
}
