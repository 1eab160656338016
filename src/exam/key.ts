/**
 * The answers of a paper as plain data, to mark by.
 */
import * as z from 'zod';
import { checked } from '../data/index.js';
import type { Paper } from './paper.js';

const words = (max: number) =>
  z.string({ error: 'text' }).max(max, { error: `text of up to ${max} characters` });
const letter = z.string({ error: 'a letter' }).regex(/^[a-h]$/, { error: 'a letter from a to h' });

const questionSchema = z
  .looseObject(
    {
      id: z
        .string({ error: 'a question such as Q1.2' })
        .regex(/^Q\d{1,3}\.\d{1,3}$/, { error: 'a question such as Q1.2' }),
      text: words(1000),
      choices: z
        .array(z.looseObject({ letter, text: words(1000) }, { error: 'a choice' }), {
          error: 'a list of choices',
        })
        .min(2, { error: 'two choices or more' })
        .max(8, { error: 'at most eight choices' }),
      answer: letter,
      because: words(4000),
    },
    { error: 'a question with its answer' },
  )
  .refine(({ choices, answer }) => choices.some((choice) => choice.letter === answer), {
    path: ['answer'],
    error: 'the letter of one of the choices',
  });

const keySchema = z.looseObject(
  {
    title: words(200),
    number: words(40),
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
  readonly choices: readonly { readonly letter: string; readonly text: string }[];
  /** Letter of the right choice. */
  readonly answer: string;
  /** Why it is right. */
  readonly because: string;
}

/** The answers of a paper. */
export interface PaperKey {
  readonly title: string;
  /** The paper's number, as its sheets show it. */
  readonly number: string;
  readonly questions: readonly MarkedQuestion[];
}

/** The answers of a paper. */
export function keyOf({ title, number, exercises }: Paper): PaperKey {
  return { title, number, questions: exercises.flatMap(({ questions }) => questions) };
}

/**
 * Checks the answers of a paper, as `answers.json` has them.
 *
 * @throws DotphaseError that names the place, for example `questions[3].answer`
 */
export function parsePaperKey(value: unknown): PaperKey {
  return checked(keySchema, value, 'key', '');
}
