/**
 * The inner loop of the resampler with vector instructions, in AssemblyScript: what `plainSums` in `filtersums.ts` does,
 * two numbers at a time and four sums side by side. `npm run wasm` compiles it to `filtersumsmodule.ts`.
 */

const NUMBER: usize = 8;
const SUM: usize = 4;

function total(sums: v128): f32 {
  return <f32>(f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1));
}

/** The places are in bytes, the strides between samples and between sums in numbers. */
export function add(
  response: usize,
  taps: i32,
  from: usize,
  stride: i32,
  to: usize,
  by: i32,
  count: i32,
): void {
  const end = response + <usize>taps * NUMBER;
  const step = <usize>stride * NUMBER;
  const next = <usize>by * SUM;
  for (; count >= 4; count -= 4) {
    let a = f64x2.splat(0);
    let b = f64x2.splat(0);
    let c = f64x2.splat(0);
    let d = f64x2.splat(0);
    for (let tap = response, at = from; tap < end; tap += 2 * NUMBER, at += 2 * NUMBER) {
      const values = v128.load(tap);
      a = f64x2.add(a, f64x2.mul(values, v128.load(at)));
      b = f64x2.add(b, f64x2.mul(values, v128.load(at + step)));
      c = f64x2.add(c, f64x2.mul(values, v128.load(at + 2 * step)));
      d = f64x2.add(d, f64x2.mul(values, v128.load(at + 3 * step)));
    }
    store<f32>(to, total(a));
    store<f32>(to + next, total(b));
    store<f32>(to + 2 * next, total(c));
    store<f32>(to + 3 * next, total(d));
    from += 4 * step;
    to += 4 * next;
  }
  for (; count > 0; count--) {
    let sum = f64x2.splat(0);
    for (let tap = response, at = from; tap < end; tap += 2 * NUMBER, at += 2 * NUMBER)
      sum = f64x2.add(sum, f64x2.mul(v128.load(tap), v128.load(at)));
    store<f32>(to, total(sum));
    from += step;
    to += next;
  }
}
