/**
 * The answer sheet.
 */
import type { KeyCall, Paper, PaperExercise } from '../paper.js';
import type { KeyQuestion } from '../questions/index.js';
import { CAUTIONS } from './cautions.js';
import { html, type Markup } from './html.js';
import { count, page, seconds } from './page.js';

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

function callRow(call: KeyCall): Markup {
  const { number, startSeconds, text, symbols } = call;
  return html`<tr>
    <td class="n">${number ?? '–'}</td>
    <td class="n">${seconds(startSeconds)}</td>
    <td>
      ${text}<br /><span class="small"
        >Characters ${symbols.map((symbol) => String(symbol).padStart(2, '0')).join(' ')}</span
      >
    </td>
    <td>${reading(call)}</td>
  </tr> `;
}

function answerRow({ id, call, text, choices, answer, because }: KeyQuestion): Markup {
  const right = choices.find(({ letter }) => letter === answer)?.text;
  return html`<tr>
    <td class="n">${id.slice(1)}</td>
    <td class="n right">${answer}</td>
    <td>
      <span class="small">${call === undefined ? '' : `Call ${call}. `}${text}</span><br /><span class="right"
        >${right}</span
      ><br /><span class="because">${because}</span>
    </td>
  </tr> `;
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
    <p class="small" style="margin-top:1.5mm">Conditions: ${conditions.join('; ')}.</p>
    <h3>Answers</h3>
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
    </table>
  </section> `;
}

/** The answer sheet of a paper, an HTML document that prints on A4. */
export function answerSheet(paper: Paper): string {
  const { title, number, secret, exercises } = paper;
  const questions = exercises.flatMap((each) => each.questions);
  return page(
    `${title}: answers`,
    html`<p class="kicker">Answers · for the examiner</p>
      <h1>${title}</h1>
      <p class="lead">
        ${count(exercises.length, 'exercise')}, ${count(questions.length, 'question')}, one mark each. Paper
        ${number}.
      </p>
      <p class="small">Its secret, from which all of it can be made again: <b>${secret}</b></p>
      <section class="box">
        <p>
          Every recording was received again before this sheet was written: what is marked as readable was
          read right, and what is marked as lost was not. The rules are named with where they stand, from
          memory; check them against the editions in force before an examination that counts.
        </p>
      </section>
      ${CAUTIONS}
      <h2 class="part">At a glance</h2>
      <table>
        <tbody>
          ${exercises.map(
            ({ number, questions: own }) =>
              html`<tr>
                <td class="n">Exercise ${number}</td>
                <td>
                  <span class="glance"
                    >${own.map(({ id, answer }) => html`<span>${id.slice(1)} <b>${answer}</b></span>`)}</span
                  >
                </td>
              </tr>`,
          )}
        </tbody>
      </table>
      ${exercises.map(exercise)}`,
  );
}
