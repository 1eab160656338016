/**
 * The answers of a paper as plain data, to mark by.
 */
import * as z from 'zod';
import { checked } from '../data/index.js';
import { questionsOf, type Paper } from './paper.js';
import { typedText, type TypedAnswer } from './typed.js';

const words = (max: number) =>
  z.string({ error: 'text' }).max(max, { error: `text of up to ${max} characters` });
const letter = z.string({ error: 'a letter' }).regex(/^[a-h]$/, { error: 'a letter from a to h' });

const amount = (max: number, unit: string) => {
  const error = `a number from 0 to ${max} ${unit}`;
  return z.number({ error }).min(0, { error }).max(max, { error });
};

const typedSchema = z.discriminatedUnion(
  'form',
  [
    z.strictObject({
      form: z.literal('identity'),
      identity: z.string().regex(/^\d{9}$/, { error: 'nine digits' }),
    }),
    z.strictObject({
      form: z.literal('position'),
      position: z.looseObject(
        {
          latitude: z.number().min(-90).max(90),
          longitude: z.number().min(-180).max(180),
        },
        { error: 'a position with latitude and longitude in degrees' },
      ),
      withinMinutes: amount(60, 'minutes of arc'),
    }),
    z.strictObject({
      form: z.literal('time'),
      time: z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'a time such as 09:30' }),
      withinMinutes: amount(60, 'minutes'),
    }),
    z.strictObject({
      form: z.literal('frequency'),
      hz: z.int({ error: 'whole hertz' }).min(400_000).max(200_000_000),
      withinHz: amount(5000, 'Hz'),
    }),
  ],
  { error: 'what is to be typed: an object with form identity, position, time or frequency' },
);

const choicesSchema = z.looseObject(
  {
    choices: z
      .array(z.looseObject({ letter, text: words(1000) }, { error: 'a choice' }), {
        error: 'a list of choices',
      })
      .min(2, { error: 'two choices or more' })
      .max(8, { error: 'at most eight choices' })
      .refine((list) => new Set(list.map((choice) => choice.letter)).size === list.length, {
        error: 'each letter once',
      }),
    answer: letter,
  },
  { error: 'a question with its answer' },
);

const questionSchema = z
  .looseObject(
    {
      id: z
        .string({ error: 'a question such as Q1.2' })
        .regex(/^Q\d{1,3}\.\d{1,3}$/, { error: 'a question such as Q1.2' }),
      text: words(1000),
      choices: z.unknown(),
      answer: z.unknown(),
      typed: typedSchema.optional(),
      because: words(4000),
    },
    { error: 'a question with its answer' },
  )
  .transform((question, context) => {
    const { typed } = question;
    if (typed !== undefined) {
      const answer = typed as TypedAnswer;
      return { ...question, typed: answer, choices: [], answer: typedText(answer) };
    }
    const { choices, answer } = question;
    const read = choicesSchema.safeParse({ choices, answer });
    if (!read.success) {
      for (const { path, message } of read.error.issues) {
        context.addIssue({ code: 'custom', path: [...path], message });
      }
      return z.NEVER;
    }
    if (!read.data.choices.some((choice) => choice.letter === read.data.answer)) {
      context.addIssue({ code: 'custom', path: ['answer'], message: 'the letter of one of the choices' });
      return z.NEVER;
    }
    return { ...question, typed: undefined, choices: read.data.choices, answer: read.data.answer };
  });

const keySchema = z.looseObject(
  {
    title: words(200),
    number: words(40),
    version: z
      .string()
      .regex(/^[A-H]$/, { error: 'a letter from A to H' })
      .optional(),
    questions: z
      .array(questionSchema, { error: 'a list of questions' })
      .min(1, { error: 'at least one question' })
      .max(10_000, { error: 'at most 10000 questions' })
      .refine((list) => new Set(list.map(({ id }) => id)).size === list.length, {
        error: 'each question once',
      }),
  },
  { error: 'the answers of a paper, an object' },
);

/** A question as marking needs it. */
export interface MarkedQuestion {
  /** Such as `Q3.2`. */
  readonly id: string;
  readonly text: string;
  /** None where the answer is to be typed. */
  readonly choices: readonly { readonly letter: string; readonly text: string }[];
  /** Letter of the right choice; the right answer itself where there are none. */
  readonly answer: string;
  /** What is right where the answer is to be typed. */
  readonly typed?: TypedAnswer | undefined;
  /** Why it is right. */
  readonly because: string;
}

/** The answers of a paper. */
export interface PaperKey {
  readonly title: string;
  /** The paper's number, as its sheets show it. */
  readonly number: string;
  /** Its letter, where there are several versions. */
  readonly version?: string | undefined;
  readonly questions: readonly MarkedQuestion[];
}

/** The answers of a paper. */
export function keyOf(paper: Paper): PaperKey {
  const { title, number, version } = paper;
  return { title, number, ...(version !== undefined && { version }), questions: questionsOf(paper) };
}

/**
 * Checks the answers of a paper, as `answers.json` has them.
 *
 * @throws DotphaseError that names the place, for example `questions[3].answer`
 */
export function parsePaperKey(value: unknown): PaperKey {
  return checked(keySchema, value, 'key', '');
}
