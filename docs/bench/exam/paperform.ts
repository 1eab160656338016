/**
 * What the form of a paper says, as a plan.
 */
import { parsePaperPlan, type Level, type PaperPlan } from 'dotphase/exam';
import type { RoomWish } from './protocol.js';

/** The form as it is kept. */
export const FORM = {
  title: '',
  level: '2',
  exercises: '4',
  versions: '1',
  sameRecordings: false,
  written: '0',
  typed: false,
  pictures: true,
  characters: false,
  room: true,
  times: '2',
  pause: '5',
  answerTime: '30',
  pass: '70',
};
type PaperForm = typeof FORM;

const whole = (text: string) => (text.trim() === '' ? NaN : Number(text));

/**
 * The plan of a form, or of a plan that was typed, which goes before it.
 *
 * @throws DotphaseError or SyntaxError for what cannot be a plan
 */
export function planOf(form: PaperForm, own: string): PaperPlan {
  if (own.trim() !== '') {
    const plan = JSON.parse(own) as PaperPlan;
    parsePaperPlan(plan);
    return plan;
  }
  const written = whole(form.written);
  const plan: PaperPlan = {
    ...(form.title.trim() !== '' && { title: form.title.trim() }),
    level: Number(form.level) as Level,
    exercises: whole(form.exercises),
    versions: whole(form.versions),
    ...(form.sameRecordings && { vary: 'letters' as const }),
    ...(written !== 0 && { written }),
    typed: form.typed,
    pictures: form.pictures,
    characters: form.characters,
  };
  parsePaperPlan(plan);
  return plan;
}

/** The recording for a room that a form asks for. */
export function roomOf({ room, times, pause, answerTime }: PaperForm): RoomWish | undefined {
  return room
    ? { times: whole(times), pauseSeconds: whole(pause), answerSeconds: whole(answerTime) }
    : undefined;
}
