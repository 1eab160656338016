/**
 * The results of a class, to print: the class, a page for each candidate, and the questions.
 */
import { markReason, shownText, type MarkedAnswer } from '../marking.js';
import type { AnswerStatistics, CandidateResult, ClassResults, QuestionStatistics } from '../results.js';
import { html, type Markup, type Piece } from './html.js';
import { count, page } from './page.js';

const percent = (value: number | undefined) => (value === undefined ? '–' : `${value.toFixed(1)} %`);
const signed = (value: number | undefined) =>
  value === undefined ? '–' : value.toFixed(2).replace('-', '−');
const verdict = ({ passed }: CandidateResult) =>
  passed === undefined ? '' : passed ? 'passed' : 'not passed';

function figures({ summary, pass }: ClassResults): Markup {
  const { candidates, passed, mean, median, deviation, lowest, highest } = summary;
  const rows: [string, Piece][] = [
    ['Candidates', candidates],
    ...(passed === undefined ? [] : [[`Passed (${pass ?? 0} % or more)`, passed] as [string, Piece]]),
    ['Mean', percent(mean)],
    ['Median', percent(median)],
    ['Standard deviation', percent(deviation)],
    ['Lowest and highest', `${percent(lowest)} and ${percent(highest)}`],
    ...summary.reliability.map(({ version, value }): [string, Piece] => [
      `Reliability (KR-20)${version === undefined ? '' : `, version ${version}`}`,
      signed(value),
    ]),
  ];
  return html`<dl class="figures">
    ${rows.map(
      ([name, value]) =>
        html`<div>
          <dt>${name}</dt>
          <dd>${value}</dd>
        </div>`,
    )}
  </dl>`;
}

function classTable({ candidates, pass }: ClassResults): Markup {
  const hasVersions = candidates.some(({ version }) => version !== undefined);
  return html`<table class="class">
    <thead>
      <tr>
        <th>Candidate</th>
        ${hasVersions ? html`<th>Version</th>` : undefined}
        <th class="n">Marks</th>
        <th class="n">Share</th>
        ${pass === undefined ? undefined : html`<th>Result</th>`}
      </tr>
    </thead>
    <tbody>
      ${candidates.map(
        (each) =>
          html`<tr>
            <td>${each.candidate}</td>
            ${hasVersions ? html`<td>${each.version ?? ''}</td>` : undefined}
            <td class="n">${each.marks} of ${each.of}</td>
            <td class="n">${percent(each.percent)}</td>
            ${pass === undefined ? undefined : html`<td class="${each.passed ? 'right' : 'lost'}">${verdict(each)}</td>`}
          </tr>`,
      )}
    </tbody>
  </table>`;
}

function answerRow(answer: MarkedAnswer): Markup {
  const { id, text, given, isRight } = answer;
  return html`<tr>
    <td class="n">${id.slice(1)}</td>
    <td>
      <span class="small">${text}</span><br />${
        isRight
          ? html`<span class="right">${given ? shownText(given) : ''}</span>`
          : html`<span class="because">${markReason(answer)}</span>`
      }
    </td>
    <td class="n ${isRight ? 'right' : 'lost'}">${isRight ? '1' : '0'}</td>
  </tr>`;
}

function candidatePage(title: string, each: CandidateResult): Markup {
  const { candidate, version, paper, marks, of, percent: share, answers } = each;
  const result = verdict(each);
  return html`<section class="sheet-of-one">
    <p class="kicker">Marks</p>
    <h2 class="name">${candidate}</h2>
    <p class="lead">
      ${title}${version === undefined ? '' : `, version ${version}`}. Paper ${paper}. ${marks} of
      ${count(of, 'mark')}, ${percent(share)}${result === '' ? '' : `: ${result}`}.
    </p>
    <table>
      <thead>
        <tr>
          <th>No.</th>
          <th>Question and answer</th>
          <th>Mark</th>
        </tr>
      </thead>
      <tbody>
        ${answers.map(answerRow)}
      </tbody>
    </table>
  </section>`;
}

function chosen({ candidates, strength }: AnswerStatistics, of: number): Markup {
  const share = of === 0 ? 0 : candidates.length / of;
  const elsewhere = strength === undefined ? '' : ` · right elsewhere: ${percent(100 * strength)}`;
  return html`<td class="n">${candidates.length} (${percent(100 * share)})</td>
    <td class="small">${candidates.length === 0 ? 'nobody' : `${candidates.join(', ')}${elsewhere}`}</td>`;
}

function questionBlock(question: QuestionStatistics): Markup {
  const { id, version, text, candidates, right, separation, answers, blank, remarks } = question;
  const share = candidates === 0 ? undefined : (100 * right) / candidates;
  return html`<section class="statistics">
    <h3>${version === undefined ? '' : `${version} `}${id.slice(1)} <span>${text}</span></h3>
    <p class="small">
      Right: ${right} of ${candidates}, ${percent(share)}. Point-biserial with all other questions:
      ${signed(separation)}.
    </p>
    ${remarks.map((remark) => html`<p class="remark">${remark}</p>`)}
    <table>
      <tbody>
        ${answers.map(
          (answer) =>
            html`<tr>
              <td class="${answer.isRight ? 'right' : ''}">
                ${shownText(answer)}${answer.isRight ? ' (right)' : ''}
              </td>
              ${chosen(answer, candidates)}
            </tr>`,
        )}
        ${
          blank.length > 0
            ? html`<tr>
                <td>no answer</td>
                <td class="n">${blank.length} (${percent((100 * blank.length) / candidates)})</td>
                <td class="small">${blank.join(', ')}</td>
              </tr>`
            : undefined
        }
      </tbody>
    </table>
  </section>`;
}

/** The results of a class, an HTML document that prints on A4: the class, a page for each candidate, the questions. */
export function resultsSheet(results: ClassResults): string {
  const { title, candidates, questions } = results;
  const remarked = questions.filter(({ remarks }) => remarks.length > 0);
  return page(
    `${title}: results`,
    html`<p class="kicker">Results · for the examiner</p>
      <h1>${title}</h1>
      ${figures(results)} ${classTable(results)}
      ${
        remarked.length > 0
          ? html`<h2 class="part">Questions to look at</h2>
              <ul class="plain">
                ${remarked.map(
                  ({ id, version, remarks }) =>
                    html`<li>
                      <b>${version === undefined ? '' : `${version} `}${id.slice(1)}</b> ${remarks.join(' ')}
                    </li>`,
                )}
              </ul>`
          : undefined
      }
      ${candidates.map((each) => candidatePage(title, each))}
      <section class="form">
        <p class="kicker">Questions · for the examiner</p>
        <h2>How each question did</h2>
        <p class="small">
          The point-biserial correlation tells how well a question separates good candidates from weak ones:
          0.2 and more is usual, below 0 its answer may be wrong. Behind each answer stand who gave it and how
          much they had right elsewhere. With few candidates, all of this varies by chance.
        </p>
        ${questions.map(questionBlock)}
      </section>`,
  );
}
