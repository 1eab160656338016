/**
 * Sums of products, the inner loop of a filter, over numbers that lie in one memory.
 */
import { FILTER_SUMS_MODULE } from './filtersumsmodule.js';
import { createVectorModule } from './vectormodule.js';

/**
 * Writes `count` sums of the products of a response with samples, at `to`, `to` + `by`, and so on. The response lies at
 * `response`, an even number of taps; the samples of the first sum begin at `from`, those of each next one `stride`
 * further. Even and odd taps are added up apart.
 */
type AddUp = (
  response: number,
  taps: number,
  from: number,
  stride: number,
  to: number,
  by: number,
  count: number,
) => void;

/** Where responses and samples lie, and what the filter gives. */
export interface FilterSums {
  readonly numbers: Float64Array;
  readonly sums: Float32Array;
  readonly add: AddUp;
}

function plainSums(numbers: Float64Array, sums: Float32Array): AddUp {
  return (response, taps, from, stride, to, by, count) => {
    for (let n = 0; n < count; n++) {
      let even = 0;
      let odd = 0;
      for (let tap = 0; tap < taps; tap += 2) {
        even += numbers[response + tap] * numbers[from + n * stride + tap];
        odd += numbers[response + tap + 1] * numbers[from + n * stride + tap + 1];
      }
      sums[to + n * by] = even + odd;
    }
  };
}

const instantiate = createVectorModule(FILTER_SUMS_MODULE);

const NUMBER_BYTES = Float64Array.BYTES_PER_ELEMENT;
const SUM_BYTES = Float32Array.BYTES_PER_ELEMENT;

/**
 * @param numberCount - room for numbers
 * @param sumCount - room for sums
 * @param isPlain - whether to do without vector instructions where they can be had
 */
export function createFilterSums(numberCount: number, sumCount: number, isPlain = false): FilterSums {
  const sumsAt = numberCount * NUMBER_BYTES;
  const bytes = sumsAt + sumCount * SUM_BYTES;
  const instance = isPlain ? undefined : instantiate(bytes);
  const buffer = instance?.buffer ?? new ArrayBuffer(bytes);
  const numbers = new Float64Array(buffer, 0, numberCount);
  const sums = new Float32Array(buffer, sumsAt, sumCount);
  if (!instance) return { numbers, sums, add: plainSums(numbers, sums) };
  const add = instance.exports.add as AddUp;
  return {
    numbers,
    sums,
    add: (response, taps, from, stride, to, by, count) => {
      add(NUMBER_BYTES * response, taps, NUMBER_BYTES * from, stride, sumsAt + SUM_BYTES * to, by, count);
    },
  };
}
