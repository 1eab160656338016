/**
 * Questions to the person who calls.
 */
import select from '@inquirer/select';
import type { Choice } from '../../procedures/index.js';
import { RULES, describeChoice } from '../../procedures/texts/index.js';
import { utcClock } from '../utc.js';
import type { Decision } from './exchange.js';

/** Answers in addition to what the procedures offer. */
const OTHER = {
  listen: { name: 'Listen on', value: 'listen', description: 'You are asked again in a while.' },
  end: { name: 'End here', value: 'end', description: 'The exchange is over.' },
} as const;

const clock = (time: number) => `${utcClock(time)} UTC`;

/** What the operator says by a choice that needs it. */
const NEEDS: Readonly<Record<NonNullable<Choice['needs']>, string>> = {
  consulted: 'a coast station or rescue centre was consulted',
  necessary: 'the casualty cannot alert by itself, and further help is necessary',
};

/**
 * Asks what to do next; each choice comes with its rule.
 *
 * @param now - milliseconds since 1970 UTC: what may be done only later cannot be chosen
 * @param other - the answers in addition
 * @param signal - takes the question back
 */
export async function askNext(
  message: string,
  choices: readonly Choice[],
  now: number,
  other: keyof typeof OTHER,
  signal: AbortSignal,
): Promise<Decision> {
  const isAllowed = ({ from }: Choice) => from !== undefined && from <= now;
  return select<Decision>(
    {
      message,
      choices: [
        ...choices.map((choice) => ({
          name: describeChoice(choice) + (choice.needs ? `: ${NEEDS[choice.needs]}` : ''),
          value: choice.choice,
          description: `${RULES[choice.rule].text} (${RULES[choice.rule].source})`,
          disabled: isAllowed(choice)
            ? false
            : `(not ${choice.from === undefined ? 'as things stand' : `before ${clock(choice.from)}`}: ${RULES[choice.rule].text})`,
        })),
        OTHER[other],
      ],
    },
    { signal },
  );
}

/** Asks whether the set is off the air; the answer No comes first. */
export async function askOffAir(): Promise<boolean> {
  return select<boolean>({
    message: 'Is the set on a dummy load or a cable, so that nothing goes on the air?',
    choices: [
      { name: 'No, or I am not sure', value: false, description: 'Nothing is sent.' },
      { name: 'Yes', value: true, description: 'The call is sent.' },
    ],
  });
}
