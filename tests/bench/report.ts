/** docs/performance.md from the results. */
import {
  ATTEMPT_CHANNELS,
  CHANNELS,
  CHANNEL_NAMES,
  SINGLE_CHANNELS,
  type ChannelName,
} from '../scenes/channels.js';
import { HARDER_AIR } from '../scenes/harderair.js';
import { LOOK_ALIKES } from '../scenes/lookalikes.js';
import type { Calibration, DecodePoint, Measured, Results } from './results.js';
import { COMPILING_RUNS } from './speed.js';
import { STEPS, type Step, type StepPoint } from './steps.js';
import {
  crossing,
  ebN0OfErrorRate,
  fskErrorRate,
  orthogonalErrorRate,
  textbookDecodeRate,
} from '../scenes/theory.js';

const ALERT_CHARACTERS = 18;

/** A table of GitHub-flavoured Markdown. */
export function table(head: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const line = (cells: readonly (string | number)[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

const percent = (share: number) => `${(100 * share).toFixed(share > 0 && share < 0.1 ? 1 : 0)} %`;
const decibel = (value: number) =>
  (Number.isFinite(value) ? `${value.toFixed(1)} dB` : '–').replace('-', '−');
const signed = (value: number) => String(value).replace('-', '−');

function shares(points: readonly DecodePoint[], channel: ChannelName, key: 'right' | 'textbookRight') {
  return points
    .filter((point) => point.channel === channel)
    .map((point) => ({ snrDb: point.snrDb, share: point[key] / point.sent }));
}

function source({ command, seed }: Measured<unknown>): string {
  return `\`${command}\` (seed ${seed})`;
}

/** Decode probability: where nine in ten are read, then every point. */
export function decodeTables(all: readonly DecodePoint[], channels: readonly ChannelName[]): string {
  const points = all.filter(({ channel }) => channels.includes(channel));
  const summary = channels.map((channel) => {
    const ours = shares(points, channel, 'right');
    const textbook = shares(points, channel, 'textbookRight');
    const { title, requiredDb } = CHANNELS[channel];
    return [
      title,
      decibel(crossing(ours, 0.5)),
      decibel(crossing(ours, 0.9)),
      decibel(requiredDb),
      decibel(crossing(textbook, 0.5)),
      decibel(crossing(textbook, 0.9)),
    ];
  });
  const rows = points.map((point) => [
    CHANNELS[point.channel].title,
    signed(point.snrDb),
    point.sent,
    percent(point.right / point.sent),
    point.wrong,
    `${point.doubtfulRight} / ${point.doubtfulWrong}`,
    percent(point.textbookRight / point.sent),
    point.channel === 'white' ? percent(textbookDecodeRate(point.snrDb, ALERT_CHARACTERS)) : '',
  ]);
  return [
    table(['channel', '50 % at', '90 % at', '90 % required at', 'textbook 50 %', 'textbook 90 %'], summary),
    '',
    table(
      [
        'channel',
        'SNR dB',
        'sent',
        'read',
        'wrong',
        'doubtful right / wrong',
        'textbook',
        'textbook by theory',
      ],
      rows,
    ),
  ].join('\n');
}

/** Where half and nine in ten of the alerts are right after each step. */
export function stepTable(points: readonly StepPoint[]): string {
  const channels = CHANNEL_NAMES.filter((channel) => points.some((point) => point.channel === channel));
  return table(
    ['decided by', ...channels.map((channel) => `${CHANNELS[channel].title}, 50 % / 90 %`)],
    Object.entries(STEPS).map(([step, title]) => [
      title,
      ...channels.map((channel) => {
        const own = points
          .filter((point) => point.channel === channel)
          .map(({ snrDb, right, count }) => ({ snrDb, share: right[step as Step] / count }));
        return `${decibel(crossing(own, 0.5))} / ${decibel(crossing(own, 0.9))}`;
      }),
    ]),
  );
}

/** Bit error rates beside theory. */
export function bitTable(data: NonNullable<Results['bits']>['data']): string {
  return table(
    [
      'shift',
      'phase',
      'Eb/N₀',
      'bits',
      'errors',
      'rate',
      '½·exp(−Eb/2N₀)',
      'theory at this spacing',
      'loss against the latter',
    ],
    data.map(({ shiftHz, phase, ebN0Db, bits, errors }) => {
      const theory = fskErrorRate(ebN0Db, shiftHz / 100);
      const loss = ebN0OfErrorRate(theory) - ebN0OfErrorRate(errors / bits);
      return [
        `${shiftHz} Hz`,
        phase,
        `${ebN0Db} dB`,
        bits,
        errors,
        (errors / bits).toExponential(2),
        orthogonalErrorRate(ebN0Db).toExponential(2),
        theory.toExponential(2),
        `${loss.toFixed(2).replace('-', '−')} dB`,
      ];
    }),
  );
}

const decade = (exponent: number | null) =>
  exponent === null || exponent === -Infinity
    ? '0'
    : exponent === -0.3
      ? '0.5'
      : exponent === 0
        ? '1'
        : `1e${exponent}`;

function binTable(what: string, bins: Calibration['bins']): string {
  return table(
    ['estimate', what, 'wrong expected', 'wrong seen'],
    bins.map(({ from, to, count, wrong, expected }) => [
      `${decade(from)} to ${decade(to)}`,
      count,
      expected.toPrecision(2),
      wrong,
    ]),
  );
}

/** Bins of the estimate for calls. */
export const callBins = ({ bins }: Calibration) => binTable('calls', bins);

/** Bins of the estimate for characters. */
export const characterBins = (data: Calibration) => binTable('characters', data.characterBins);

/** The share of all kinds of calls that were read. */
export function rateTable({ rates }: Calibration): string {
  const channels = CHANNEL_NAMES.filter((name) => rates.some(({ channel }) => channel === name));
  const ratios = [...new Set(rates.map(({ snrDb }) => snrDb))].sort((a, b) => a - b);
  return table(
    ['SNR dB', ...channels.map((name) => CHANNELS[name].title)],
    ratios.map((ratio) => [
      signed(ratio),
      ...channels.map((name) => {
        const rate = rates.find(({ channel, snrDb }) => channel === name && snrDb === ratio);
        return rate ? `${percent(rate.right / rate.sent)} of ${rate.sent}` : '';
      }),
    ]),
  );
}

function hours(seconds: number): string {
  return seconds >= 3600 ? `${(seconds / 3600).toFixed(1)} h` : `${(seconds / 60).toFixed(1)} min`;
}

/** What was taken for a call. */
export function falseTable(data: NonNullable<Results['false']>['data']): string {
  return table(
    [
      'audio',
      'length',
      '`clean` or `recovered`',
      '`doubtful`',
      'of them distress alerts',
      'signals looked into',
    ],
    data.map((row) => [
      LOOK_ALIKES[row.name].title,
      hours(row.seconds),
      row.sure,
      row.doubtful,
      row.doubtfulAlerts,
      row.signals,
    ]),
  );
}

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** Speeds: medians. */
export function speedTable(data: NonNullable<Results['speed']>['data']): string {
  return table(
    ['audio', 'search', 'median × real time', 'slowest', 'fastest', 'runs'],
    data.map(({ withCalls, search, minutes, calls, timesRealTime }) => [
      `${minutes} min of noise${withCalls ? `, a call in each (${calls} read)` : ''}`,
      search,
      Math.round(median(timesRealTime)),
      Math.round(Math.min(...timesRealTime)),
      Math.round(Math.max(...timesRealTime)),
      timesRealTime.length,
    ]),
  );
}

/** Calls through harder air. */
export function harderTable(data: NonNullable<Results['harder']>['data']): string {
  return table(
    ['air', 'calls sent', 'read', 'wrong'],
    data.map(({ name, sent, right, wrong, seeds }) => [
      HARDER_AIR[name].title,
      sent,
      percent(right / sent),
      wrong === 0 ? 0 : `${wrong} (seeds ${seeds.join(', ')})`,
    ]),
  );
}

/** Calls through an FM radio. */
export function fmTable(data: NonNullable<Results['fm']>['data']): string {
  return table(
    ['carrier to noise in 16 kHz', 'calls sent', 'read', 'wrong'],
    data.map(({ carrierToNoiseDb, count, right, wrong }) => [
      decibel(carrierToNoiseDb),
      count,
      percent(right / count),
      wrong,
    ]),
  );
}

/** Time until calls are reported. */
export function latencyTable(data: NonNullable<Results['latency']>['data']): string {
  return table(
    ['band', 'SNR', 'calls sent', 'reported', 'median', 'longest'],
    data.map(({ band, snrDb, sent, seconds }) => {
      const values = seconds.map((one) => one.seconds);
      return [
        band,
        decibel(snrDb),
        sent,
        values.length,
        `${median(values).toFixed(2)} s`,
        `${Math.max(...values).toFixed(2)} s`,
      ];
    }),
  );
}

/** The points of single alerts and of attempts together, as far as they are measured. */
export function decodePoints({ decode, attempts }: Results): DecodePoint[] {
  const of = (measured: typeof decode, channels: readonly ChannelName[]) =>
    (measured?.data ?? []).filter(({ channel }) => channels.includes(channel));
  return [...of(decode, SINGLE_CHANNELS), ...of(attempts, ATTEMPT_CHANNELS)];
}

/** What a user can expect, in three sentences. */
function opening(results: Results): string {
  const points = decodePoints(results);
  const least = (channel: ChannelName, key: 'right' | 'textbookRight' = 'right') =>
    decibel(crossing(shares(points, channel, key), 0.9));
  const wrong = points.reduce((sum, point) => sum + point.wrong, 0);
  const sent = points.reduce((sum, point) => sum + point.sent, 0);
  const noise = results.false?.data.find(({ name }) => name === 'noise');
  return [
    `Nine of ten distress alerts sent once are read at an SNR of ${least('white')} in white noise, ${least('moderate')} on a moderately disturbed short-wave path and ${least('disturbed')} on a disturbed one, where a receiver by the textbook needs ${[least('white', 'textbookRight'), least('moderate', 'textbookRight'), least('disturbed', 'textbookRight')].join(', ')}.`,
    `An attempt as distress alerts are sent, five in a row, is read as a whole: nine of ten at ${least('fiveFirst')} in white noise (${least('five')} with dots before each), ${least('fiveModerate')} and ${least('fiveDisturbed')} on those paths.`,
    `Of the ${sent} alerts and attempts behind these figures ${wrong === 0 ? 'none was' : `${wrong} were`} read wrong and given as sure${noise ? `, ${(noise.seconds / 3600).toFixed(0)} h of noise made ${noise.sure + noise.doubtful === 0 ? 'no call' : `${noise.sure + noise.doubtful} calls`}` : ''}.`,
  ].join(' ');
}

function calibrationText({ cut, sure, sureWrong, wrongs }: Calibration): string {
  const which = wrongs.length > 0 ? ` (${wrongs.join('; ')})` : '';
  return `${cut} of them break off anywhere behind their last phasing: for half of these the recording ends, for the others the noise goes on. ${sure} calls were reported as \`clean\` or \`recovered\`, ${sureWrong} of them wrong${which}. The estimated \`errorProbability\` of every reported call, the doubtful ones too, beside what was seen:`;
}

function calibrationTables(data: Calibration): string[] {
  return [
    callBins(data),
    `The same of each character of those calls: the estimate is 1 − \`certainty\`. ${data.notReceived} characters more had certainty 0: nothing of them was received.`,
    characterBins(data),
    'Share of those that did not break off, read right and sure:',
    rateTable(data),
  ];
}

/** The whole page. */
export function page(results: Results): string {
  const parts: (string | false)[] = [
    '# Performance',
    decodePoints(results).length > 0 && opening(results),
    decodePoints(results).length > 0 && '![Share of alerts decoded against SNR](performance-decode.svg)',
    'Measured by `npm run bench`, which writes this page, its pictures and `performance.json` from the seeds given. `npm run bench -- decode` measures one part anew, `--short` measures a little of everything and writes nothing, `--help` tells the rest. Signal-to-noise ratios (SNR) are in 3 kHz; at 100 Bd they are 14.8 dB less than Eb/N₀.',
  ];
  const { decode, attempts, steps, bits, calibration, harder, fm, speed, memory, latency } = results;
  if (decode) {
    parts.push(
      '## Alerts decoded',
      `${source(decode)}. Random distress alerts at 8 kHz with 200 dots; the receiver searches the whole passband at 100 Bd and knows nothing: the start is random, the centre lies within ±20 Hz of 1700 Hz, the clock within ±100 ppm. _Read_: reported with the right characters as \`clean\` or \`recovered\`. The textbook receiver is the baseline: it is told start, clock and centre, takes the stronger tone of each bit, the DX or else the RX sending of each character by the ten-unit check, and the error check at the end. Its theory: every one of the 18 characters reads in DX or in RX.`,
      decodeTables(decode.data, SINGLE_CHANNELS),
    );
  }
  if (attempts) {
    parts.push(
      '## Attempts of five alerts',
      `${source(attempts)}. The same of five alerts in a row without a gap, with 200 dots before the first (28.0 s) or before each (36.0 s). An attempt counts as read where at least one call with the right characters came as \`clean\` or \`recovered\`, from one sending or from several together.`,
      decodeTables(attempts.data, ATTEMPT_CHANNELS),
    );
  }
  if (steps) {
    parts.push(
      '## What each step gains',
      `${source(steps)}. ${steps.data[0].count} alerts at each ratio, where they begin and their centre known, clock unknown. Right is the likeliest call, however sure; each row adds a step to those above it.`,
      stepTable(steps.data),
    );
  }
  if (calibration) {
    parts.push(
      '## How sure is sure',
      `${source(calibration)}. ${calibration.data.sent} calls of all kinds, evenly spread over −14 to 0 dB in white noise, F.1487 moderate and disturbed. ${calibrationText(calibration.data)}`,
      '![Observed share of errors against the estimate](performance-calibration.svg)',
      ...calibrationTables(calibration.data),
    );
  }
  const attempted = results['attempt-calibration'];
  if (attempted) {
    parts.push(
      '## How sure an attempt is',
      `${source(attempted)}. ${attempted.data.sent} attempts of five alerts in a row, evenly spread over −20 to −10 dB in white noise (dots before each or the first), F.1487 moderate and disturbed. ${calibrationText(attempted.data)}`,
      ...calibrationTables(attempted.data),
    );
  }
  if (results.false) {
    parts.push(
      '## What is no call',
      `${source(results.false)}. Audio at 12 kHz (speech at 22.05 kHz), the whole passband searched at 100 and 1200 Bd, keying and speech 20 dB above the noise.`,
      falseTable(results.false.data),
      results.false.data.some(({ reports }) => reports.length > 0) &&
        results.false.data
          .filter(({ reports }) => reports.length > 0)
          .map(({ name, reports }) => `- ${LOOK_ALIKES[name].title}: ${reports.slice(0, 5).join('; ')}`)
          .join('\n'),
    );
  }
  if (harder) {
    parts.push(
      '## Harder air',
      `${source(harder)}. Calls of all kinds at 8 kHz, −8 to 8 dB in 3 kHz, with a fault of the air or of the receiver that the decision knows nothing of. _Wrong_: given as \`clean\` or \`recovered\` though nobody sent it.`,
      harderTable(harder.data),
    );
  }
  if (fm) {
    parts.push(
      '## VHF through an FM receiver',
      `${source(fm)}. Calls of all kinds at 1200 Bd, phase modulation of index 2.0, noise in 16 kHz, a discriminator and de-emphasis. Below about 9 dB the discriminator clicks: the noise turns the carrier's phase by whole turns.`,
      fmTable(fm.data),
    );
  }
  if (bits) {
    parts.push(
      '## Bit errors',
      `${source(bits)}. The noncoherent demodulator with the receiver's own filters, timing known, 100 Bd. Bits whose phases have nothing to do with each other are what the formula is for: there the filters cost a little. On the air the phase runs on from bit to bit, the spectrum is narrower, and the filter before the integration takes away more noise than signal, so that the rate lies below the formula.`,
      '![Bit error rate against Eb/N₀](performance-bits.svg)',
      bitTable(bits.data),
    );
  }
  if (speed) {
    parts.push(
      '## Speed',
      `${source(speed)}. Seconds of 12 kHz audio for each second of processor time (all threads of the process together), pushed in blocks of 0.1 s; noise with a call at 3 dB in each minute, or noise alone; ${COMPILING_RUNS} runs before those counted let the code be compiled. The machine was shared with other work.`,
      speedTable(speed.data),
    );
  }
  if (memory) {
    const { hours: length, calls, residentMegabytes } = memory.data;
    parts.push(
      '## Memory',
      `${source(memory)}. ${length} h of 12 kHz audio with a call a minute (${calls} reported), resident memory of the whole process in MB, Node.js and ten minutes of audio (29 MB) included, at the beginning and after each twelfth: ${residentMegabytes.join(', ')}.`,
    );
  }
  if (latency) {
    parts.push(
      '## Latency',
      `${source(latency)}. Audio needed after the last bit of a call before it is reported, to 10 ms, calls of every kind.`,
      latencyTable(latency.data),
    );
  }
  return `${parts.filter((part) => part !== false).join('\n\n')}\n`;
}
