/**
 * The calls that were heard, newest first; each opens to show how it was read.
 */
import {
  CATEGORIES,
  FORMATS,
  describeReceived,
  explainFields,
  type AttemptGroup,
  type Quality,
  type ReceivedCall,
} from 'dotphase';
import { followUp, followUpRequest } from 'dotphase/frequencies';
import { drawPicture } from 'dotphase/pictures';
import { writeWav } from 'dotphase/wav';
import { useState } from 'preact/hooks';
import { usePlayer } from '../audio/player.js';
import { handOver } from '../measure/handover.js';
import { copyText, saveFile } from '../parts/save.js';
import { Reading } from '../strip/reading.js';
import { clipSamples } from './clips.js';
import type { Clip } from './protocol.js';

/** The sendings of one attempt, with when they were heard, for people. */
export interface Heard {
  readonly id: number;
  readonly when: string;
  /** As in "5 sendings, 0:03.0 to 0:39.2"; absent where there is one. */
  readonly span?: string;
  /** The surest sending. */
  readonly call: ReceivedCall;
  readonly sendings: readonly { readonly when: string; readonly call: ReceivedCall }[];
}

/** An attempt for people; `say` says when something was, given seconds of the stream. */
export function heardAs(group: AttemptGroup<ReceivedCall>, say: (seconds: number) => string): Heard {
  const { id, start, end, sendings, best } = group;
  return {
    id,
    when: say(start),
    ...(sendings.length > 1 && { span: `${sendings.length} sendings, ${say(start)} to ${say(end)}` }),
    call: best,
    sendings: sendings.map((call) => ({ when: say(call.start), call })),
  };
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

function sayDb(db: number): string {
  return `${db.toFixed(1).replace('-', '−')} dB in 3 kHz`;
}

function Facts({ call }: { call: ReceivedCall }) {
  const facts: readonly (readonly [string, string])[] = [
    ['Quality', QUALITY_MEANING[call.quality]],
    ['Chance of an error', sayProbability(call.errorProbability)],
    ['Signal to noise', sayDb(call.snrDb)],
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

function Sendings({ sendings }: Pick<Heard, 'sendings'>) {
  if (sendings.length === 1) return null;
  return (
    <table class="sendings">
      <caption>Sendings of this attempt; the surest is shown below</caption>
      <thead>
        <tr>
          <th scope="col">From</th>
          <th scope="col">Quality</th>
          <th scope="col">Chance of an error</th>
          <th scope="col">Signal to noise</th>
        </tr>
      </thead>
      <tbody>
        {sendings.map((each, i) => (
          <tr key={i}>
            <td>{each.when}</td>
            <td>{QUALITY_TEXT[each.call.quality]}</td>
            <td>{sayProbability(each.call.errorProbability)}</td>
            <td>{sayDb(each.call.snrDb)}</td>
          </tr>
        ))}
      </tbody>
    </table>
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

/** The sound of a call: played, kept, and drawn bit by bit. */
function Sound({ call, clip }: { call: ReceivedCall; clip: Clip }) {
  const player = usePlayer();
  const [said, setSaid] = useState('');
  const [svg, setSvg] = useState('');
  const { playing } = player;
  const draw = () => {
    const shifted = { ...call, start: call.start - clip.start, end: call.end - clip.start };
    setSvg(
      drawPicture(clipSamples(clip), {
        sampleRate: clip.sampleRate,
        calls: [shifted],
        clockSeconds: clip.start,
      }),
    );
  };
  return (
    <>
      <p class="actions">
        <button
          type="button"
          onClick={() => {
            setSaid('');
            if (playing) player.stop();
            else {
              player.start(clipSamples(clip), clip.sampleRate).catch((error: unknown) => {
                setSaid(error instanceof Error ? error.message : String(error));
              });
            }
          }}
        >
          {playing ? 'Stop' : 'Play this call'}
        </button>
        <button
          type="button"
          onClick={() => {
            const bytes = writeWav({ sampleRate: clip.sampleRate, channels: [clipSamples(clip)] });
            saveFile(`${call.call.kind}.wav`, bytes as Uint8Array<ArrayBuffer>, 'audio/wav');
            setSaid(`Saved as ${call.call.kind}.wav.`);
          }}
        >
          Keep its audio
        </button>
        <button
          type="button"
          onClick={() => {
            handOver({
              name: 'The call that was heard',
              samples: clipSamples(clip),
              sampleRate: clip.sampleRate,
            });
          }}
        >
          Measure this call
        </button>
        {svg === '' && (
          <button type="button" onClick={draw}>
            Draw its tones and bits
          </button>
        )}
        <span class="said" role="status">
          {said}
        </span>
      </p>
      {svg !== '' && (
        // A region that scrolls must be reachable by keyboard.
        <div class="drawing" role="region" aria-label="Drawing of the call" tabIndex={0}>
          <img
            src={`data:image/svg+xml,${encodeURIComponent(svg)}`}
            alt="The spectrogram of the call; below it, bit by bit, the energy of both tones, the bits and the characters that they spell. The table lists them."
          />
        </div>
      )}
    </>
  );
}

/** What follows a call that came on a frequency. */
function sayNext({ call }: ReceivedCall, frequencyHz: number | undefined): string | undefined {
  if (frequencyHz === undefined) return undefined;
  try {
    return followUp(followUpRequest(call, frequencyHz)).text;
  } catch {
    return undefined;
  }
}

function HeardCall({
  heard,
  isOpen,
  frequencyHz,
  clip,
  onOpen,
}: {
  heard: Heard;
  isOpen: boolean;
  frequencyHz: number | undefined;
  clip: Clip | undefined;
  onOpen: (isOpen: boolean) => void;
}) {
  const { call, when, span, sendings } = heard;
  const next = isOpen ? sayNext(call, frequencyHz) : undefined;
  return (
    <li class={`heard ${call.quality}${isDistress(call) ? ' distress' : ''}`}>
      <button
        type="button"
        class="heard-head"
        aria-expanded={isOpen}
        onClick={() => {
          onOpen(!isOpen);
        }}
      >
        <span class="when">{when}</span>
        <span class={`badge ${call.quality}`}>{QUALITY_TEXT[call.quality]}</span>
        <span class="what">{describeReceived(call)}</span>
        {span !== undefined && <span class="span">{span}</span>}
      </button>
      {isOpen && (
        <div class="heard-body">
          <Sendings sendings={sendings} />
          <Facts call={call} />
          {next !== undefined && (
            <p>
              <b>What follows:</b> {next}
            </p>
          )}
          {clip && <Sound call={call} clip={clip} />}
          <Reading received={call} />
          <CopyJson call={call} />
        </div>
      )}
    </li>
  );
}

export function HeardList({
  heard,
  chosen,
  frequencyOf,
  clipOf,
  onChosen,
}: {
  heard: readonly Heard[];
  /** The id of the call that is open. */
  chosen: number | undefined;
  /** The DSC frequency of a call, hertz, where it is known. */
  frequencyOf: (call: ReceivedCall) => number | undefined;
  clipOf: (call: ReceivedCall) => Clip | undefined;
  onChosen: (id: number | undefined) => void;
}) {
  return (
    <ol class="heard-list" reversed>
      {[...heard].reverse().map((each) => (
        <HeardCall
          key={each.id}
          heard={each}
          isOpen={each.id === chosen}
          frequencyHz={frequencyOf(each.call)}
          clip={each.id === chosen ? clipOf(each.call) : undefined}
          onOpen={(isOpen) => {
            onChosen(isOpen ? each.id : undefined);
          }}
        />
      ))}
    </ol>
  );
}
