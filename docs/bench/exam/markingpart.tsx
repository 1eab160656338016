/**
 * Marking: a table that was pasted or dropped, by the answers of the paper made here or of one that was dropped.
 */
import {
  classCsv,
  classResults,
  marksCsv,
  questionsStatisticsCsv,
  resultsSheet,
  type ClassResults,
  type PaperKey,
} from 'dotphase/exam';
import { useState } from 'preact/hooks';
import { TextField } from '../parts/fields.js';
import { saveFile } from '../parts/save.js';
import { filesArchive, readDropped } from './archive.js';
import { PaperSheet } from './papersheet.js';
import { printPart } from './printing.js';

const nameOf = ({ title, number, version }: PaperKey) =>
  `${title}${version === undefined ? '' : `, version ${version}`} (paper ${number})`;

function Results({ results }: { results: ClassResults }) {
  const { candidates, summary, pass } = results;
  const passed = summary.passed === undefined ? '' : `, ${summary.passed} with ${pass ?? 0} % or more`;
  return (
    <div class="class-results">
      <p class="said">
        {candidates.length} {candidates.length === 1 ? 'candidate' : 'candidates'} marked{passed}.
      </p>
      <div class="actions">
        <button
          onClick={() => {
            const files = {
              'results.html': resultsSheet(results),
              'class.csv': classCsv(results),
              'marks.csv': marksCsv(candidates),
              'questions.csv': questionsStatisticsCsv(results),
            };
            saveFile('results.zip', filesArchive(files), 'application/zip');
          }}
        >
          Save the results
        </button>
        <button
          onClick={({ currentTarget }) => {
            printPart(currentTarget, '.marking');
          }}
        >
          Print them
        </button>
      </div>
      <PaperSheet html={resultsSheet(results)} label="Results" />
    </div>
  );
}

export function MarkingPart({
  made,
  pass,
  onPass,
}: {
  /** Keys of the papers made here. */
  made: readonly PaperKey[];
  pass: string;
  onPass: (pass: string) => void;
}) {
  const [dropped, setDropped] = useState<readonly PaperKey[]>([]);
  const [table, setTable] = useState('');
  /** Several tables that were dropped together, in place of the one in the page. */
  const [tables, setTables] = useState<readonly string[]>([]);
  const [failed, setFailed] = useState<string>();
  const [results, setResults] = useState<ClassResults>();
  const keys = dropped.length > 0 ? dropped : made;

  const take = async (files: readonly File[]) => {
    setFailed(undefined);
    setResults(undefined);
    try {
      const read = await readDropped(files);
      if (read.keys.length > 0) setDropped(read.keys);
      setTables(read.tables.length > 1 ? read.tables : []);
      if (read.tables.length > 0) setTable(read.tables.length === 1 ? read.tables[0] : '');
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
  };
  const mark = () => {
    setFailed(undefined);
    setResults(undefined);
    try {
      const least = pass.trim() === '' ? undefined : Number(pass.replace(',', '.'));
      setResults(classResults(keys, tables.length > 0 ? tables : table, { pass: least }));
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <section class="marking" aria-label="Marking">
      <h2>Mark a class</h2>
      <div
        class="put-answers"
        onDragOver={(event) => {
          event.preventDefault();
        }}
        onDrop={(event) => {
          event.preventDefault();
          void take(Array.from(event.dataTransfer?.files ?? []));
        }}
      >
        <p>
          {keys.length === 0 ? (
            <>Drop the saved paper here (paper.zip or answers.json), and then the table of answers.</>
          ) : (
            <>
              Answers of: <b>{keys.map(nameOf).join('; ')}</b>
            </>
          )}
        </p>
        <label class="file-button">
          <span>Open a paper or a table</span>
          <input
            type="file"
            multiple
            accept=".json,.zip,.csv,.tsv,.txt,text/csv"
            onChange={(event) => {
              const input = event.currentTarget;
              void take(Array.from(input.files ?? [])).then(() => {
                input.value = '';
              });
            }}
          />
        </label>
      </div>
      <label class="plan-text">
        <span>Table of answers, pasted from a spreadsheet or dropped</span>
        <textarea
          rows={8}
          spellcheck={false}
          value={table}
          placeholder={'candidate;Q1.1;Q1.2\nCandidate 1;a;c'}
          onInput={(event) => {
            setTables([]);
            setTable(event.currentTarget.value);
          }}
        />
      </label>
      {tables.length > 0 && (
        <p class="said">{tables.length} tables were dropped; they are marked together.</p>
      )}
      <p class="reading">
        A column “candidate”, one for each question, a row for each candidate; candidates.csv of the paper is
        made for it.
        {keys.length > 1 && ' A column “version” says which version each candidate sat.'}
      </p>
      <div class="actions">
        <TextField label="Pass mark, %" value={pass} onValue={onPass} numeric size={4} />
        <button
          class="main"
          disabled={keys.length === 0 || (table.trim() === '' && tables.length === 0)}
          onClick={mark}
        >
          Mark
        </button>
      </div>
      {failed !== undefined && (
        <p class="notice flaws" role="alert">
          {failed}
        </p>
      )}
      {results && <Results results={results} />}
    </section>
  );
}
