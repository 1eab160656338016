/**
 * The page that says in plain words what the figures of performance mean; its numbers come from those figures.
 */
import { readFileSync } from 'node:fs';

interface Point {
  readonly channel: string;
  readonly snrDb: number;
  readonly sent: number;
  readonly right: number;
  readonly wrong: number;
  readonly textbookRight: number;
}

interface Figures {
  readonly decode: { readonly data: readonly Point[] };
  readonly calibration: {
    readonly data: { readonly sent: number; readonly sure: number; readonly sureWrong: number };
  };
}

/** Names of the channels in the figures, and in words. */
const CHANNELS = [
  ['white', 'steady noise'],
  ['moderate', 'fading, moderate'],
  ['disturbed', 'fading, disturbed'],
] as const;

/** So many of ten, in words for the ends. */
function ofTen(share: number): string {
  if (share > 0.985) return 'all';
  if (share < 0.015) return 'none';
  const tenths = Math.round(share * 10);
  return tenths === 0 ? 'few' : tenths === 10 ? 'nearly all' : `${tenths} of 10`;
}

/** The ratios at which all channels were measured, with the point of each channel. */
function comparable(points: readonly Point[]): { snrDb: number; each: Point[] }[] {
  const ratios = [...new Set(points.map(({ snrDb }) => snrDb))].sort((a, b) => b - a);
  return ratios
    .map((snrDb) => ({
      snrDb,
      each: CHANNELS.flatMap(([name]) =>
        points.filter(({ channel, snrDb: own }) => channel === name && own === snrDb).slice(0, 1),
      ),
    }))
    .filter(({ each }) => each.length === CHANNELS.length);
}

const number = (value: number) => value.toLocaleString('en-GB').replaceAll(',', '\u202f');

/**
 * The page as Markdown.
 *
 * @param file - the figures as the benchmarks wrote them
 */
export function createExpect(file: string): string {
  const { decode, calibration } = JSON.parse(readFileSync(file, 'utf8')) as Figures;
  const rows = comparable(decode.data);
  const sum = (pick: (point: Point) => number) =>
    rows.flatMap(({ each }) => each).reduce((total, point) => total + pick(point), 0);
  const gained = sum(({ right }) => right) / sum(({ textbookRight }) => textbookRight);
  const { sent, sure, sureWrong } = calibration.data;

  return `# What can I expect

In plain words, before the figures: what dotphase reads, what it does not, and how far it can be believed. The numbers come from [performance](performance.md), which says how each was measured.

## If you hear it, it reads it

In steady noise a call that you hear is read, and so are calls that few ears find, down to some −11 dB, where the noise in a voice channel has twelve times the power of the call.

[As it leaves: a distress alert](sounds/distress-alert.wav)

[0 dB: as strong as the noise](sounds/distress-alert-0-db.wav)

[−7 dB: a fifth of the noise](sounds/distress-alert-weak.wav)

[−11 dB: a twelfth of the noise](sounds/distress-alert-buried.wav)

All four are read for sure, each from one sending. In decibels over the noise in 3 kHz, of alerts that were sent once:

| signal over noise in 3 kHz | ${CHANNELS.map(([, words]) => words).join(' | ')} |
|---|---|---|---|
${rows.map(({ snrDb, each }) => `| ${String(snrDb).replace('-', '−')} dB | ${each.map(({ right, sent: of }) => ofTen(right / of)).join(' | ')} |`).join('\n')}

Over all of these ratios that is ${gained.toFixed(1)} times what a receiver reads that decides bit by bit and takes each character from one of its two sendings. An attempt of five alerts in a row is read as a whole, and is found several decibels deeper.

## Fading costs

A path by the ionosphere comes and goes. For seconds the call is loud, then gone; no receiver reads what did not arrive.

[Moderately disturbed, 6 dB on average](sounds/distress-alert-fading.wav)

[Disturbed, 6 dB on average](sounds/distress-alert-disturbed.wav)

So the same average strength that is plenty in steady noise may be too little on a path that fades: compare the columns above. The worst paths, across the aurora, spread the tones themselves:

[High latitudes, disturbed: too much for a single sending](sounds/channel-high-latitude-disturbed.wav)

## What sure means

Each call says how sure it is: \`clean\` (every character was read and the check agrees), \`recovered\` (some had to be worked out), \`doubtful\` (it may be wrong, or is not whole). Of ${number(sent)} calls of all kinds in noise and fading, ${number(sure)} were given as \`clean\` or \`recovered\`, and of those ${sureWrong === 0 ? 'none was wrong' : `${number(sureWrong)} were wrong`}. A doubtful one is a hint and no more: nothing is ever done on its word. What was not received is shown as \`?\`, never guessed.

None of that makes a watch. A decoded distress alert is not a watch, and a silent screen is no proof that nobody called.

## Beside other signals

[A crowded band: a carrier, keying, direct printing, a voice](sounds/channel-crowded-band.wav)

[Crashes of static that take down the gain](sounds/channel-summer-static.wav)

[A neighbour twenty decibels stronger that comes and goes](sounds/channel-strong-neighbour.wav)

All three are read for sure. A call under a stronger one on the same frequency is sometimes read and sometimes lost.

## What it needs

- Sound with the tones anywhere from 400 to 2600 Hz, either way round, sampled 8000 times a second or more, by a clock that is right to one part in a thousand.
- VHF from a receiver whose squelch is open; from about 3 dB of carrier over noise in 16 kHz on.
- A computer or, in the browser, a phone. The machine it was measured on decodes hundreds of hours of audio in an hour.
- About a third of a second after the last bit on MF and HF; less on VHF.

## What it is not

No type-approved equipment, no watch receiver, nothing to rely on where lives do. The standards were not at hand when it was written: [what is not known for sure](uncertainties.md) has the details that are remembered with doubt.

Now [the figures](performance.md).
`;
}
