/**
 * The answer sheet.
 */
import { explainFields } from '../../calls/index.js';
import { questionsOf, type KeyCall, type Paper, type PaperExercise } from '../paper.js';
import type { KeyQuestion } from '../questions/index.js';
import { toleranceText } from '../typed.js';
import { CAUTIONS } from './cautions.js';
import { html, type Markup } from './html.js';
import { count, heading, page, seconds } from './page.js';

function reading({ reading: how, lost }: KeyCall): Markup {
  switch (how) {
    case 'whole':
      return html`reads whole`;
    case 'damaged':
      return html`<span class="lost">${lost ?? ''} lost on purpose</span>`;
    case 'covered':
      return html`<span class="lost">covered by a stronger call, not to be read</span>`;
  }
}

const written = (symbols: readonly number[]) =>
  symbols.map((symbol) => String(symbol).padStart(2, '0')).join(' ');

/** A call worked through: each field with its characters and what they say, and how the error check comes about. */
function worked(symbols: readonly number[]): Markup {
  const checked = symbols.slice(0, -1);
  return html`<dl class="worked">
    ${explainFields(symbols).map(
      ({ field, label, symbols: own, meaning }) =>
        html`<div>
          <dt>${label}</dt>
          <dd>
            <b>${written(own)}</b> ${
              field === 'errorCheck'
                ? `the exclusive-or of the ${checked.length} characters before it, the format specifier once`
                : meaning
            }
          </dd>
        </div>`,
    )}
  </dl>`;
}

function callRow(call: KeyCall): Markup {
  const { number, startSeconds, text, symbols } = call;
  return html`<tr>
    <td class="n">${number ?? '–'}</td>
    <td class="n">${seconds(startSeconds)}</td>
    <td>${text} ${worked(symbols)}</td>
    <td>${reading(call)}</td>
  </tr> `;
}

function answerRow({ id, call, text, choices, answer, typed, because }: KeyQuestion): Markup {
  const tolerance = typed ? toleranceText(typed) : '';
  const right = typed
    ? `${answer}${tolerance === '' ? '' : `, ${tolerance}`}`
    : choices.find(({ letter }) => letter === answer)?.text;
  return html`<tr>
    <td class="n">${id.slice(1)}</td>
    <td class="n right">${typed ? '' : answer}</td>
    <td>
      <span class="small">${call === undefined ? '' : `Call ${call}. `}${text}</span><br /><span class="right"
        >${right}</span
      ><br /><span class="because">${because}</span>
    </td>
  </tr> `;
}

function answerTable(questions: readonly KeyQuestion[]): Markup {
  return html`<h3>Answers</h3>
    <table>
      <thead>
        <tr>
          <th>No.</th>
          <td></td>
          <th>Answer and reason</th>
        </tr>
      </thead>
      <tbody>
        ${questions.map(answerRow)}
      </tbody>
    </table>`;
}

/** The answers of an exercise in a row. */
function glance(number: number, questions: readonly KeyQuestion[]): Markup {
  return html`<tr>
    <td class="n">Exercise ${number}</td>
    <td>
      <span class="glance"
        >${questions.map(({ id, answer }) => html`<span>${id.slice(1)} <b>${answer}</b></span>`)}</span
      >
    </td>
  </tr>`;
}

function exercise({
  number,
  file,
  seconds: length,
  situation,
  conditions,
  calls,
  questions,
}: PaperExercise): Markup {
  return html`<section class="exercise">
    <header>
      <h2>Exercise ${number}</h2>
      <span>${file} · ${seconds(length)}</span>
    </header>
    <p>${situation.join(' ')}</p>
    <table>
      <thead>
        <tr>
          <th>Call</th>
          <th>Begins</th>
          <th>What was sent</th>
          <th>Reception</th>
        </tr>
      </thead>
      <tbody>
        ${calls.map(callRow)}
      </tbody>
    </table>
    <p class="small conditions">Conditions: ${conditions.join('; ')}.</p>
    ${answerTable(questions)}
  </section> `;
}

/** The answer sheet of a paper, an HTML document that prints on A4. */
export function answerSheet(paper: Paper): string {
  const { number, secret, exercises, written: part } = paper;
  const title = heading(paper);
  const questions = questionsOf(paper);
  return page(
    `${title}: answers`,
    html`<p class="kicker">Answers · for the examiner</p>
      <h1>${title}</h1>
      <p class="lead">
        ${count(exercises.length + (part ? 1 : 0), 'exercise')}, ${count(questions.length, 'question')}, one
        mark each. Paper ${number}.
      </p>
      <p class="small">Its secret, from which all of it can be made again: <b>${secret}</b></p>
      <section class="box">
        <p>
          Every recording was received again before this sheet was written: what is marked as readable was
          read right, and what is marked as lost was not. The rules are named with where they stand; check
          them against the editions in force before an examination that counts. Keep the files of this paper:
          another browser or another version of Node may make recordings that differ in their noise.
        </p>
      </section>
      ${CAUTIONS}
      <h2 class="part">At a glance</h2>
      <table>
        <tbody>
          ${exercises.map(({ number: own, questions: asked }) => glance(own, asked))}
          ${part && glance(part.number, part.questions)}
        </tbody>
      </table>
      ${exercises.map(exercise)}
      ${
        part &&
        html`<section class="exercise">
          <header>
            <h2>Exercise ${part.number}</h2>
            <span>without a recording</span>
          </header>
          ${answerTable(part.questions)}
        </section>`
      }`,
  );
}
