/**
 * The question sheet.
 */
import { formatIdentity } from '../../calls/index.js';
import { questionsOf, type KeyCall, type Paper, type PaperExercise, type WrittenPart } from '../paper.js';
import type { KeyQuestion } from '../questions/index.js';
import { COAST_STATIONS, GROUPS, OWN_SHIP, SHIPS } from '../scenario.js';
import { FORM_HINTS } from '../typed.js';
import { CAUTIONS } from './cautions.js';
import { Markup, html } from './html.js';
import { count, heading, page, seconds } from './page.js';

/** Ends of sequence behind the error check, which have no second sending. */
const CLOSING = 2;

/** Choices longer than this stand below each other. */
const LONGEST_IN_TWO_COLUMNS = 42;

function question({ id, text, choices, typed }: KeyQuestion): Markup {
  if (typed) {
    return html`<div class="question">
      <span class="id">${id.slice(1)}</span>
      <div>
        <p class="ask">${text}</p>
        <p class="line"><span>${FORM_HINTS[typed.form]}</span></p>
      </div>
    </div> `;
  }
  const isLong = choices.some((choice) => choice.text.length > LONGEST_IN_TWO_COLUMNS);
  return html`<div class="question">
    <span class="id">${id.slice(1)}</span>
    <div>
      <p class="ask">${text}</p>
      <ol class="choices${isLong ? ' long' : ''}">
        ${choices.map(({ letter, text: choice }) => html`<li><i>${letter}</i><span>${choice}</span></li>`)}
      </ol>
    </div>
  </div> `;
}

/** The characters of a call as they were received, in both sendings; its closing ones are sent once. */
function characters({ number, received = [] }: KeyCall, isOne: boolean): Markup {
  const row = (name: string, sending: 0 | 1) => {
    const sent = sending === 0 ? received : received.slice(0, -CLOSING);
    const cells = sent.map((pair) => {
      const symbol = pair[sending];
      return html`<span>${symbol === null ? '•••' : String(symbol).padStart(2, '0')}</span>`;
    });
    return html`<div><b>${name}</b>${cells}</div>`;
  };
  return html`<div class="characters" role="group" aria-label="Characters as received">
    ${isOne ? undefined : html`<p>Call ${number}</p>`} ${row('DX', 0)} ${row('RX', 1)}
  </div> `;
}

function exercise(one: PaperExercise, isWithCharacters: boolean): Markup {
  const { number, file, situation, picture, questions, calls } = one;
  const read = calls
    .filter((call) => call.number !== undefined)
    .sort((a, b) => (a.number ?? 0) - (b.number ?? 0));
  const isOne = calls.length === 1;
  const about = (call: number | undefined) => read.find((candidate) => candidate.number === call);
  const headed = questions.map((each, i) => {
    const call = about(each.call);
    const isFirst = call !== undefined && questions[i - 1]?.call !== each.call;
    return html`${isFirst ? html`<p class="call">Call ${call.number}, which begins ${seconds(call.startSeconds)} into the recording</p>` : undefined}${question(each)}`;
  });
  return html`<section class="exercise">
    <header>
      <h2>Exercise ${number}</h2>
      <span>${file} · ${seconds(one.seconds)}</span>
    </header>
    <div class="opening">
      <p>${situation.join(' ')}</p>
      ${picture === undefined ? undefined : html`<figure class="picture">${new Markup(picture)}</figure>`}
      ${isWithCharacters ? read.map((call) => characters(call, isOne)) : undefined}
    </div>
    ${headed}
  </section> `;
}

function writtenPart({ number, questions }: WrittenPart): Markup {
  return html`<section class="exercise">
    <header>
      <h2>Exercise ${number}</h2>
      <span>without a recording</span>
    </header>
    <p>Rules of procedure and frequencies, as they hold for ships and coast stations at sea.</p>
    ${questions.map(question)}
  </section> `;
}

/** The boxes of the answer form for an exercise. */
function boxes(number: number, questions: readonly KeyQuestion[]): Markup {
  return html`<h3>Exercise ${number}</h3>
    <div class="grid">
      ${questions.map(({ id, typed }) => html`<span${typed ? html` class="wide"` : undefined}>${id.slice(1)}</span>`)}
    </div>`;
}

function stations(list: readonly { name: string; identity: string }[]): Markup {
  return html`<ul class="stations">
    ${list.map(({ name, identity }) => html`<li>${name} <span>${formatIdentity(identity)}</span></li>`)}
  </ul>`;
}

/** The question sheet of a paper, an HTML document that prints on A4. */
export function questionSheet(paper: Paper): string {
  const { exercises, written, characters: isWithCharacters } = paper;
  const title = heading(paper);
  const questions = questionsOf(paper);
  const isTyped = questions.some(({ typed }) => typed !== undefined);
  return page(
    `${title}: questions`,
    html`<p class="kicker">Questions</p>
      <h1>${title}</h1>
      <p class="lead">
        ${count(exercises.length + (written ? 1 : 0), 'exercise')}, ${count(questions.length, 'question')},
        one mark each. Paper ${paper.number}.
      </p>
      <div class="blanks">
        <div>Candidate</div>
        <div>Date</div>
        <div>Marks <span>of ${questions.length}</span></div>
      </div>
      <section class="box">
        <p>
          You keep watch aboard the ship <b>${OWN_SHIP.name}</b>, ${formatIdentity(OWN_SHIP.identity)}, which
          belongs to the group ${GROUPS[0].name}, ${formatIdentity(GROUPS[0].identity)}. Each exercise has a
          recording of what your receiver heard. Receive it, then tick one answer to each question: exactly
          one is right. A call of yours that one of theirs acknowledges you had sent a minute before.
        </p>
        ${isTyped ? html`<p>Where no answers stand, write yours on the line, in the form that is named there.</p>` : undefined}
        ${isWithCharacters ? html`<p>The characters are printed as they were received, each in its first sending (DX) and its second (RX); ••• stands for one that failed its ten-unit check.</p>` : undefined}
      </section>
      ${CAUTIONS}
      <h2 class="part">Ships</h2>
      ${stations(SHIPS)}
      <h2 class="part">Coast stations and groups</h2>
      ${stations([...COAST_STATIONS, ...GROUPS])} ${exercises.map((each) => exercise(each, isWithCharacters))}
      ${written && writtenPart(written)}
      <section class="form">
        <p class="kicker">Answer form</p>
        <h2>${title}</h2>
        <p class="small">
          Paper ${paper.number}. Write the letter of your answer in each
          box${isTyped ? ', and the answer itself in the wide ones' : ''}.
        </p>
        <div class="blanks">
          <div>Candidate</div>
          <div>Date</div>
          <div>Marks <span>of ${questions.length}</span></div>
        </div>
        ${exercises.map(({ number, questions: own }) => boxes(number, own))}
        ${written && boxes(written.number, written.questions)}
      </section>`,
  );
}
