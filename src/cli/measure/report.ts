/**
 * The options of `measure` that write a report, and what writes it.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { extname } from 'node:path';
import type { Command } from 'commander';
import { DotphaseError, NOTHING, reasonOf } from '../../errors.js';
import { readLadder } from '../sensitivity/state.js';
import {
  createReport,
  readReport,
  reportHtml,
  reportJson,
  type EarlierReport,
  openLadder,
  type MeasurementReport,
  type ReportedLadder,
} from '../../measure/index.js';

/** What {@link addReportFlags} adds. */
export interface ReportFlags {
  readonly report?: readonly string[];
  readonly before?: string;
  readonly ladder?: string;
  readonly set?: string;
  readonly by?: string;
  readonly setup?: string;
}

/** Gives a command the options of reports. */
export function addReportFlags(command: Command): Command {
  return command
    .option(
      '--report <file>',
      'write a report too: .html prints on two A4 pages, .json can be compared later; may be given again',
      (file: string, before: readonly string[] | undefined) => {
        if (!/^\.(?:html?|json)$/i.test(extname(file)))
          throw new DotphaseError('--report', file, 'a name that ends in .html or .json');
        return [...(before ?? []), file];
      },
    )
    .option('--before <file>', 'with --report: an earlier report in JSON to compare with')
    .option('--ladder <file>', 'with --report: a file that sensitivity kept, to be in it')
    .option('--set <text>', 'with --report: which set it is')
    .option('--by <text>', 'with --report: who measures')
    .option('--setup <text>', 'with --report: cable or dummy load, pick-up, sound card');
}

/**
 * The earlier report, read before anything is measured.
 *
 * @throws DotphaseError where it cannot be read, or options of reports stand without one
 */
export async function earlierReport(flags: ReportFlags): Promise<EarlierReport | undefined> {
  const { report, before } = flags;
  if (report === undefined) {
    for (const name of ['before', 'ladder', 'set', 'by', 'setup'] as const)
      if (flags[name] !== undefined)
        throw new DotphaseError('--report', NOTHING, `the name of a report, beside --${name}`);
    return undefined;
  }
  if (before === undefined) return undefined;
  let text: string;
  try {
    text = await readFile(before, 'utf8');
  } catch (error) {
    throw new DotphaseError('--before', before, `a file that can be read: ${reasonOf(error)}`);
  }
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new DotphaseError('--before', before, 'a report in JSON, as measure --report name.json writes it');
  }
  return readReport(data);
}

/**
 * The ladder that belongs into the report.
 *
 * @throws DotphaseError where the file is not there or holds something else
 */
export async function ladderFor({ ladder: file }: ReportFlags): Promise<ReportedLadder | undefined> {
  if (file === undefined) return undefined;
  const kept = await readLadder(file, '--ladder');
  if (!kept) throw new DotphaseError('--ladder', file, 'a file that there is');
  const { trials, air, beside } = kept;
  const estimate = openLadder(air, { trials }).estimate();
  return { air, trials, estimate, ...(beside && { beside }) };
}

/** Writes the report in each form that was asked for. */
export async function writeReports(
  flags: ReportFlags,
  parts: Pick<MeasurementReport, 'clock' | 'clockSource' | 'bands' | 'ladder'> & { readonly when: Date },
  before: EarlierReport | undefined,
): Promise<void> {
  const { when, ...rest } = parts;
  const { set = 'A set', by = '', setup = '' } = flags;
  const report = createReport({ ...rest, set, by, setup, when: when.toISOString() });
  for (const file of flags.report ?? []) {
    const isJson = /json$/i.test(file);
    try {
      await writeFile(file, isJson ? reportJson(report) : reportHtml(report, before));
    } catch (error) {
      throw new DotphaseError('--report', file, `a file that can be written: ${reasonOf(error)}`);
    }
  }
}
