/**
 * The calls that were heard, newest first; each opens to show how it was read.
 */
import { CATEGORIES, FORMATS, explainFields, type Quality, type ReceivedCall } from 'dotphase';
import { useState } from 'preact/hooks';
import { copyText } from '../parts/save.js';
import { Reading } from '../strip/reading.js';

/** A call with when it was heard, for people. */
export interface Heard {
  readonly id: number;
  readonly when: string;
  readonly call: ReceivedCall;
}

const QUALITY_TEXT: Readonly<Record<Quality, string>> = {
  clean: 'clean',
  recovered: 'recovered',
  doubtful: 'doubtful',
};

const QUALITY_MEANING: Readonly<Record<Quality, string>> = {
  clean: 'Every character was read directly and the error check agrees.',
  recovered: 'Decided with the help of what was left of damaged characters; very likely right.',
  doubtful: 'Not sure enough to rely on: it may differ from what was sent.',
};

/** Whether a call is about distress. */
export function isDistress({ symbols, certainty }: Pick<ReceivedCall, 'symbols' | 'certainty'>): boolean {
  const [format, ...fields] = explainFields(symbols, certainty);
  if (format.symbols[0] === FORMATS.byName('distress')?.symbol) return true;
  const category = fields.find(({ field }) => field === 'category');
  return category?.symbols[0] === CATEGORIES.byName('distress')?.symbol;
}

function sayProbability(probability: number): string {
  if (probability <= 1e-9) return 'less than one in a billion';
  return probability < 0.01
    ? `about 1 in ${Math.round(1 / probability).toLocaleString('en')}`
    : `${Math.round(100 * probability)} %`;
}

function Facts({ call }: { call: ReceivedCall }) {
  const facts: readonly (readonly [string, string])[] = [
    ['Quality', QUALITY_MEANING[call.quality]],
    ['Chance of an error', sayProbability(call.errorProbability)],
    ['Signal to noise', `${call.snrDb.toFixed(1).replace('-', '−')} dB in 3 kHz`],
    [
      'Tones',
      `${call.baud} Bd around ${call.centreHz.toFixed(1)} Hz${call.inverted ? ', swapped (lower sideband)' : ''}`,
    ],
    ['Lasted', `${(call.end - call.start).toFixed(2)} s`],
    ...(call.sendings > 1 ? [['Sendings added up', String(call.sendings)] as const] : []),
  ];
  return (
    <dl class="facts">
      {facts.map(([term, said]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd>{said}</dd>
        </div>
      ))}
    </dl>
  );
}

function CopyJson({ call }: { call: ReceivedCall }) {
  const [said, setSaid] = useState('');
  return (
    <p class="actions">
      <button
        type="button"
        onClick={() => {
          void copyText(JSON.stringify(call.call, null, 2)).then((done) => {
            setSaid(done ? 'Copied.' : 'The browser did not allow copying.');
          });
        }}
      >
        Copy the call as JSON
      </button>
      <span role="status">{said}</span>
    </p>
  );
}

function HeardCall({ heard }: { heard: Heard }) {
  const [isOpen, setOpen] = useState(false);
  const { call, when } = heard;
  return (
    <li class={`heard ${call.quality}${isDistress(call) ? ' distress' : ''}`}>
      <button
        type="button"
        class="heard-head"
        aria-expanded={isOpen}
        onClick={() => {
          setOpen(!isOpen);
        }}
      >
        <span class="when">{when}</span>
        <span class={`badge ${call.quality}`}>{QUALITY_TEXT[call.quality]}</span>
        <span class="what">{call.text}</span>
      </button>
      {isOpen && (
        <div class="heard-body">
          <Facts call={call} />
          <Reading received={call} />
          <CopyJson call={call} />
        </div>
      )}
    </li>
  );
}

export function HeardList({ heard, empty }: { heard: readonly Heard[]; empty: string }) {
  if (heard.length === 0) return <p class="empty">{empty}</p>;
  return (
    <ol class="heard-list" reversed>
      {[...heard].reverse().map((each) => (
        <HeardCall key={each.id} heard={each} />
      ))}
    </ol>
  );
}
