/**
 * Every answer of a call.
 */
import type { Answer, Answers, HeardContext } from './ask.js';
import type { Topic } from './topics.js';
import { factAnswers } from './content.js';
import { followAnswer } from './follow.js';
import { procedureAnswers } from './procedure.js';

/** The answers of a call to every question, without those that depend on lost fields. */
export function answersOf(context: HeardContext): Answers {
  const lost = context.fields
    .filter(({ characters }) => characters.some((each) => context.unread.includes(each)))
    .map(({ field }) => field);
  const isModeLost = lost.includes('followOn') || lost.includes('message');
  const isAddressLost = lost.includes('to');
  const all: [Topic, Answer | undefined][] = [
    ...factAnswers(context),
    ...(isModeLost ? [] : [['follow', followAnswer(context)] as [Topic, Answer]]),
    ...(isModeLost || isAddressLost ? [] : procedureAnswers(context)),
  ];
  return new Map(all.flatMap(([topic, answer]) => (answer === undefined ? [] : [[topic, answer]])));
}

/** The same topic of several calls, where every one has an answer and no two of them agree. */
export function choicesOf(versions: readonly Answers[], topic: Topic): Answer[] | undefined {
  const answers = versions.flatMap((version) => version.get(topic) ?? []);
  const differ = new Set(answers.map(({ text }) => text)).size === versions.length;
  return differ ? answers : undefined;
}

/** Topics that four versions of a call can be asked about, in the order in which they are asked. */
export function topicsOf(versions: readonly Answers[]): Topic[] {
  const [first] = versions;
  const isRepeated = versions.every((version) => version.get('casualty')?.text === version.get('from')?.text);
  return [...first.keys()].filter(
    (topic) => !(topic === 'casualty' && isRepeated) && choicesOf(versions, topic) !== undefined,
  );
}
