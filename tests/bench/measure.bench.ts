/**
 * Prints how exactly calls are measured, against the Cramér–Rao bound, and what is named of made-up sets:
 * `npx tsx tests/bench/measure.bench.ts [calls a point] [sets] [points]`, by default 1000 and 500.
 */
import { ESTIMATED, errorsOf, summary } from '../measure/errors.js';
import { FAULTS, TEST_CALL, examined } from '../measure/faults.js';

const CALLS = Number(process.argv[2] ?? 1000);
const SETS = Number(process.argv[3] ?? 500);
/** Some of the points alone, as in `mf-hf:10,vhf:20`. */
const POINTS = process.argv.at(4);
const RATIOS = [0, 10, 20, 30, 40];

const points = (['mf-hf', 'vhf'] as const)
  .flatMap((band) => RATIOS.map((ratioDb) => ({ band, ratioDb })))
  .filter(({ band, ratioDb }) => POINTS === undefined || POINTS.split(',').includes(`${band}:${ratioDb}`));

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

if (CALLS > 0) console.log(`${CALLS} calls at each ratio in 3 kHz; errors in units of the bound`);
for (const { band, ratioDb } of CALLS > 0 ? points : []) {
  const all = Array.from({ length: CALLS }, (_, i) => errorsOf(100_000 * ratioDb + i, ratioDb, band));
  const measured = all.flatMap((errors) => errors ?? []);
  for (const name of ESTIMATED) {
    const { rms, bias, coverage } = summary(measured.map((errors) => errors[name]));
    console.log(
      `${band.padEnd(5)} ${String(ratioDb).padStart(3)} dB  ${name.padEnd(18)} rms ${rms.toFixed(3)}  bias ${bias.toFixed(3).padStart(6)}  covered ${percent(coverage)}`,
    );
  }
  if (measured.length < CALLS)
    console.log(
      `${band.padEnd(5)} ${String(ratioDb).padStart(3)} dB  ${CALLS - measured.length} not measured`,
    );
}

let [falseAlarms, misses, untold, sound] = [0, 0, 0, 0];
for (let seed = 0; seed < SETS; seed++) {
  // Half of the sets are sound, the others have each fault in turn.
  const fault = seed % 2 === 0 ? undefined : FAULTS[(seed >> 1) % FAULTS.length];
  const named = fault?.named ?? [];
  const found = examined(fault?.set ?? {}, fault?.symbols ?? TEST_CALL, 1000 + seed);
  const wrongly = found.outside.filter((figure) => !named.includes(figure));
  const missed = named.filter((figure) => !found.outside.includes(figure));
  if (wrongly.length > 0) falseAlarms++;
  if (missed.length > 0) misses++;
  if (found.untold.length > 0) untold++;
  if (!fault) sound++;
  if (wrongly.length + missed.length + found.untold.length > 0)
    console.log(
      `set ${seed}, ${fault?.name ?? 'sound'}: wrongly named ${wrongly.join(' ') || 'nothing'}; missed ${missed.join(' ') || 'nothing'}; not told ${found.untold.join(' ') || 'nothing'}`,
    );
}
if (SETS > 0)
  console.log(
    `${SETS} sets at 20 dB, ${sound} of them sound: ${falseAlarms} with something wrongly named, ${misses} with a fault missed, ${untold} with a figure that could not be told`,
  );
