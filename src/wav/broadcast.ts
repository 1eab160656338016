/**
 * When a WAV recording began, as its broadcast-wave chunk tells it (EBU Tech 3285 §2.3, from memory).
 */
import { textOf, viewOf } from './bytes.js';

const RIFF_BYTES = 12;
const HEAD_BYTES = 8;
/** Where date and time of origination stand in the chunk: ten and eight characters. */
const DATE_AT = 320;
const TIME_AT = 330;
const DATE = /^\d{4}[-_:/. ]\d\d[-_:/. ]\d\d$/;
const TIME = /^\d\d[-_:/. ]\d\d[-_:/. ]\d\d$/;

/**
 * The date and time of origination, `YYYY-MM-DDThh:mm:ss` without a time zone: the chunk names none.
 *
 * @param head - the beginning of a file, as far as its samples
 * @returns undefined where there is no such chunk before the samples, or nothing in it
 */
export function originationOf(head: Uint8Array): string | undefined {
  const view = viewOf(head);
  for (let at = RIFF_BYTES; at + HEAD_BYTES <= head.length;) {
    const id = textOf(head.subarray(at, at + 4));
    const size = view.getUint32(at + 4, true);
    if (id === 'data') return undefined;
    const body = at + HEAD_BYTES;
    if (id === 'bext') {
      const date = textOf(head.subarray(body + DATE_AT, body + DATE_AT + 10));
      const time = textOf(head.subarray(body + TIME_AT, body + TIME_AT + 8));
      if (!DATE.test(date) || !TIME.test(time)) return undefined;
      return `${date.replace(/\D/g, '-')}T${time.replace(/\D/g, ':')}`;
    }
    at = body + size + (size % 2);
  }
  return undefined;
}
