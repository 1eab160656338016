/**
 * The page that walks one call through the rooms, with drawings of that very call.
 */
import {
  BITS_PER_SYMBOL,
  bitsToLetters,
  describeCall,
  encodeCall,
  errorCheck,
  explainFields,
  frameCall,
  receiveCalls,
  symbolToBits,
  type ReceivedCall,
} from '../../src/index.js';
import { describeReceived } from '../../src/receiver/index.js';
import { drawPicture } from '../../src/pictures/index.js';
import { followUp, followUpRequest } from '../../src/frequencies/index.js';
import { drawBits, drawReadings, drawSlots } from './drawings.js';
import { played } from './played.js';
import { ALERT as CALL } from './sounds/calls.js';
import { MARGIN, SAMPLE_RATE, WALK_NOISE, makeSound, soundFacts } from './sounds/sounds.js';
import { drawStrip } from './strip.js';

const HEARD_ON_HZ = 2_187_500;

function letters(symbol: number): string {
  const all = bitsToLetters(symbolToBits(symbol));
  return `\`${all.slice(0, 7)} ${all.slice(7)}\``;
}

function fieldTable(symbols: readonly number[]): string {
  const rows = explainFields(symbols).map(
    ({ label, symbols: own, digits, meaning }) =>
      `| ${label} | ${own.join(' ')} | ${digits === undefined ? '' : `\`${digits}\``} | ${meaning} |`,
  );
  return ['| field | characters | digits | says |', '|---|---|---|---|', ...rows].join('\n');
}

function checkTable(symbols: readonly number[]): string {
  const binary = (value: number) => value.toString(2).padStart(7, '0');
  const content = symbols.slice(0, -1);
  const rows = content.map((symbol, i) => {
    const sum = errorCheck(content.slice(0, i + 1));
    return `| ${symbol} | \`${binary(symbol)}\` | \`${binary(sum)}\` | ${sum} |`;
  });
  return ['| character | seven bits | sum so far | as a number |', '|---|---|---|---|', ...rows].join('\n');
}

/** The call out of the noise; the page tells of a receiver that got it right. */
function hear(samples: Float32Array, sent: readonly number[]): ReceivedCall {
  const [heard] = receiveCalls(samples, { sampleRate: SAMPLE_RATE });
  if (heard.quality === 'doubtful' || heard.symbols.join() !== sent.join()) {
    throw new Error(
      `the walk needs another seed or a stronger signal: ${heard.quality}, ${describeReceived(heard)}`,
    );
  }
  return heard;
}

const times = (count: number) =>
  count === 0 ? 'never' : count === 1 ? 'once' : count === 2 ? 'twice' : `${count} times`;

/** A probability to the next power of ten upwards. */
function probability(value: number): string {
  const power = Math.floor(-Math.log10(value));
  return `less than one in ${(10 ** power).toLocaleString('en-GB').replaceAll(',', ' ')}`;
}

/** The page as Markdown, and its drawings by file name. */
export function createWalk(): { page: string; drawings: ReadonlyMap<string, string> } {
  const symbols = encodeCall(CALL).symbols;
  const sequence = frameCall(symbols, { band: 'mf-hf' });
  const [{ dots, slots }] = sequence.sendings;
  const [sound, noisy] = ['distress-alert', 'distress-alert-weak'].map((name) => makeSound(name).samples);
  const heard = hear(noisy, symbols);
  const readings = heard.characters.slice(0, symbols.length + 1);
  const lostDx = readings.filter(({ dx }) => dx === undefined).length;
  const lostRx = readings.filter(({ rx }) => rx === undefined).length;
  const lostBoth = readings.filter(({ dx, rx }) => dx === undefined && rx === undefined).length;
  const voice = followUp(followUpRequest(CALL, HEARD_ON_HZ)).text;

  const overview = (samples: Float32Array, title: string) =>
    drawPicture(samples, {
      sampleRate: SAMPLE_RATE,
      calls: receiveCalls(samples, { sampleRate: SAMPLE_RATE }).filter(
        ({ quality }) => quality !== 'doubtful',
      ),
      title,
      show: 'overview',
    });
  const leaves = overview(sound, 'The sound as it leaves');
  const arrives = overview(noisy, 'The sound as it arrives');
  const drawings = new Map([
    ['walk-slots.svg', drawSlots(slots)],
    ['walk-bits.svg', drawBits(symbols[0])],
    ['walk-sound.svg', leaves],
    ['walk-noise.svg', arrives],
    ['walk-energies.svg', drawPicture(noisy, { sampleRate: SAMPLE_RATE, calls: [heard] })],
    ['walk-readings.svg', drawReadings(heard)],
  ]);

  const page = `# One call through the rooms

A yacht takes in water. Someone lifts the cover and holds the red button down. This page follows what happens then, with the numbers and drawings of that very call: call → characters → slots → bits → audio, and back. Each step is a room of the library, and a folder of its source.

## Calls: what is said

> ${describeCall(CALL)}

The set knows its own identity; position and time come from the satellite receiver; the rest was chosen on a menu. The call tables of ITU-R M.493 say in which order all this goes out, and in which characters. A character is a number from 0 to 127. The numbers 0 to 99 carry two digits each; the others are words, whose meaning depends on the field they stand in.

${fieldTable(symbols)}

The first 1 in the position is the quadrant: north and west. The last character lets a receiver check all others. It is their sum without carry (exclusive-or): a place of it is 1 where an odd count of characters has a 1.

<details>
<summary>The sum, character by character</summary>

${checkTable(symbols)}

</details>

## Symbols: ten bits each

Each character becomes ${BITS_PER_SYMBOL} bits, called B and Y. Seven carry the number, the least significant first. Three count the B among those seven, the most significant first, so that a single wrong bit always shows. The first character here, ${symbols[0]}, is ${letters(symbols[0])}; the error check, ${symbols[symbols.length - 1]}, is ${letters(symbols[symbols.length - 1])}.

[The first character, ${symbols[0]}, at a tenth of its speed: ten bits in a second, high B and low Y](sounds/character-slow.wav)

## Frames: everything twice

Short wave fades and crackles. So each character is sent twice, and four others lie between: a crash of static that takes the one leaves the other. The first sendings stand in slots called DX, the repetitions in slots called RX between them. Before the call come phasing characters, 125 in DX and 111 down to 104 in RX, from which a receiver learns where characters begin and which is which. The format specifier, ${symbols[0]}, opens the call twice.

![The first slots of the call, DX over RX: phasing, then each character joined to its repetition](walk-slots.svg)

Before all of it, ${dots} bits alternate between B and Y: the dot pattern, on which receivers that scan several frequencies stop. ${slots.length} slots of ten bits and ${dots} dots make ${sequence.bits.length} bits, and at 100 bits a second **${sequence.duration.toFixed(1)} seconds**. A set in distress sends that five times in a row.

## Modem: two tones

A bit is a tone. B is the higher, 1785 Hz; Y is the lower, 1615 Hz. The wave runs on without a jump from one to the other, which keeps the signal narrow.

![Character ${symbols[0]} as ten bits, and the wave where the tone changes](walk-bits.svg)

On VHF channel 70 it is the same with 2100 and 1300 Hz, twelve times as fast.

[The same call on VHF channel 70](sounds/distress-alert-vhf.wav)

The whole call on MF or HF, as it sounds: each character lights up in its slot as it goes out, and a cursor runs over the drawing of power over time and pitch. _Back one_ and _On one_ play a single character; so does a click on it.

${played(
  'distress-alert',
  'The call as it leaves',
  soundFacts('distress-alert'),
  {
    file: 'walk-sound.svg',
    svg: leaves,
    words: 'Spectrogram of the sound as it leaves, with the dot pattern, phasing and characters marked',
  },
  drawStrip(sequence, symbols, MARGIN),
)}

## Channel: the sea between

What arrives here is ${Math.abs(WALK_NOISE.snrDb)} dB weaker than the noise in a voice bandwidth of 3 kHz: the noise has ${Math.round(10 ** (-WALK_NOISE.snrDb / 10))} times the power of the call. Real channels also fade, shift in pitch and carry others’ traffic; [the channel](channel.md) can do all of that.

${played(
  'distress-alert-weak',
  `The call as it arrives, at −${Math.abs(WALK_NOISE.snrDb)} dB`,
  soundFacts('distress-alert-weak'),
  {
    file: 'walk-noise.svg',
    svg: arrives,
    words: 'Spectrogram of the sound as it arrives, in noise',
  },
)}

And as it arrives over a short-wave path that fades:

[The call over a moderately disturbed path of middle latitudes (ITU-R F.1487), 6 dB over the noise on average](sounds/distress-alert-fading.wav)

[The same over a disturbed path: longer echoes, faster fades](sounds/distress-alert-disturbed.wav)

## Receiver: weighing all of it

The receiver looks for the phasing at every place and pitch. Then it measures the energy of both tones in every bit. Below, bars upwards are B and downwards Y; the longer one decides. Characters whose check bits then disagree are crossed out, and what differs from the call is red.

![The call bit by bit: energies of both tones, bits and characters, some of them wrong](walk-energies.svg)

Reading character by character, the check bits disagree ${times(lostDx)} in DX and ${times(lostRx)} in RX. ${
    lostBoth === 0
      ? 'No character is lost in both, so that each can be had from one or the other.'
      : `${lostBoth === 1 ? 'One character is' : `${lostBoth} characters are`} lost in both, and such a receiver would give up.`
  }

![What each character was read as in DX and RX, and what was decided](walk-readings.svg)

This receiver does not decide so early. It keeps for each bit how likely B and Y are, adds up both sendings, and weighs whole calls: which of all the calls that the tables allow, with an error check that agrees, explains best what was heard, and how much better than the next best? Only then it decides, and says how sure it is: here **${heard.quality}**, with a probability of ${probability(heard.errorProbability)} that the call differs from what was sent, and an estimated signal of ${heard.snrDb.toFixed(1).replace('-', '−')} dB over the noise in 3 kHz.

> ${describeReceived(heard)}

## Stations: what follows

A decoded alert is where work begins, for people. Heard on 2187.5 kHz, traffic goes on by ${voice}. A ship waits for a coast station to acknowledge; which rules say so, and when a ship relays instead, is in \`dotphase/procedures\`.

Read the [cautions](cautions.md). Then make a call of your own on the [test bench](bench/index.html), or look up any kind of call in the [reference](reference.md).
`;
  return { page, drawings };
}
