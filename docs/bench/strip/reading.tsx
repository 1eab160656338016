/**
 * How each character of a received call was read: in DX, in RX, and what was decided.
 */
import {
  ENDS_OF_SEQUENCE,
  certainCharacters,
  errorCheck,
  explainFields,
  type Character,
  type ReceivedCall,
} from 'dotphase';
import { useState } from 'preact/hooks';
import { FieldTable } from './fieldtable.js';
import { findRuns } from './model.js';

/** What is said of a sending that gave no symbol. */
const BLANKS = {
  missed: { sign: '·', text: 'not read' },
  unsent: { sign: '–', text: 'not sent' },
} as const;

/** One sending of a character beside what was decided. */
function Sent({
  symbol,
  decided,
  faded,
  blank = 'missed',
}: {
  symbol: number | undefined;
  decided: Character;
  faded: boolean;
  blank?: keyof typeof BLANKS;
}) {
  const fade = faded ? ' faded' : '';
  if (symbol === undefined || decided === null) {
    return (
      <td class={blank + fade}>
        <span aria-hidden="true">{BLANKS[blank].sign}</span>
        <span class="hidden">{BLANKS[blank].text}</span>
      </td>
    );
  }
  const differs = symbol !== decided;
  return (
    <td class={(differs ? 'differs' : 'read') + fade}>
      {symbol}
      {differs && <span class="hidden"> differs</span>}
    </td>
  );
}

/** The last characters of all go out in DX alone. */
const UNREPEATED = 2;

/** The characters as they were decided, both format specifiers and the closing ends of sequence included. */
function decidedCharacters({ symbols, certainty, characters }: ReceivedCall): Character[] {
  const received = certainCharacters(symbols, certainty);
  const eos = received[received.length - 2];
  const all = [received[0], ...received];
  while (all.length < characters.length) all.push(eos);
  return all;
}

function ErrorCheckLine({ symbols, certainty }: ReceivedCall) {
  const missing = certainCharacters(symbols, certainty).filter((character) => character === null).length;
  if (missing > 0) {
    return (
      <p class="sum">
        Error check: it can’t be checked, as {missing} of the {symbols.length} characters{' '}
        {missing === 1 ? 'was' : 'were'} not received.
      </p>
    );
  }
  const content = symbols.slice(0, -1);
  const sum = errorCheck(content);
  const found = symbols[symbols.length - 1];
  return (
    <p class="sum">
      Error check: the exclusive-or of the {content.length} characters from one format specifier through{' '}
      {ENDS_OF_SEQUENCE.bySymbol(content[content.length - 1])?.text ?? 'the end of sequence'} is <b>{sum}</b>;
      the call carries <b>{found}</b>. <b>{sum === found ? 'They agree.' : 'They disagree.'}</b>
    </p>
  );
}

export function Reading({ received }: { received: ReceivedCall }) {
  const [active, setActive] = useState<number>();
  const decided = decidedCharacters(received);
  const { runs, ofCharacter } = findRuns(
    explainFields(received.symbols, received.certainty),
    received.expansions,
    decided.length,
  );
  const shown = decided.map((symbol, i) => ({
    symbol,
    reading: received.characters.at(i),
    run: ofCharacter[i],
  }));
  const spans = runs
    .map((run, i) => ({ run, i, span: shown.filter((character) => character.run === i).length }))
    .filter(({ span }) => span > 0);
  /** With expansions, more was sent behind the characters shown, repetitions too. */
  const repeated = received.expansions.length > 0 ? shown.length : shown.length - UNREPEATED;
  const isFaded = (run: number) => active !== undefined && run !== active;
  return (
    <div class="reading-of-call">
      <div class="strip" role="region" aria-label="Reading of every character" tabIndex={0}>
        <table class="characters">
          <caption class="hidden">What each character read as in DX and RX, and what was decided</caption>
          <thead>
            <tr>
              <td />
              {spans.map(({ run, i, span }) => (
                <th key={i} scope="colgroup" colSpan={span} class={isFaded(i) ? 'faded' : ''}>
                  {run.label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            <tr>
              <th scope="row">DX</th>
              {shown.map(({ symbol, reading, run }, i) => (
                <Sent key={i} symbol={reading?.dx} decided={symbol} faded={isFaded(run)} />
              ))}
            </tr>
            <tr>
              <th scope="row">RX</th>
              {shown.map(({ symbol, reading, run }, i) => (
                <Sent
                  key={i}
                  symbol={reading?.rx}
                  decided={symbol}
                  faded={isFaded(run)}
                  blank={i < repeated ? 'missed' : 'unsent'}
                />
              ))}
            </tr>
            <tr class="decided">
              <th scope="row">Decided</th>
              {shown.map(({ symbol, run }, i) => (
                <td key={i} class={`tint-${runs[run].tint}${isFaded(run) ? ' faded' : ''}`}>
                  {symbol ?? '?'}
                </td>
              ))}
            </tr>
          </tbody>
        </table>
      </div>
      <p class="lanes">
        <span class="key read">75</span> read and taken <span class="key differs">75</span> read, but decided
        otherwise <span class="key missed">·</span> check bits disagree: not read{' '}
        <span class="key unsent">–</span> not sent
      </p>
      <ErrorCheckLine {...received} />
      <FieldTable runs={runs} active={active} onActive={setActive} />
    </div>
  );
}
