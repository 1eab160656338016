/** Reports: kept as JSON, read back, compared, and as a page. */
import { parseHTML } from 'linkedom';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  clockWithin,
  compareFigures,
  createReport,
  measureCall,
  readReport,
  reportHtml,
  sharesOf,
  tolerancesFor,
  verdictsOn,
  withClock,
  type MeasurementReport,
  type ReportedBand,
} from '../../src/measure/index.js';
import { TEST_CALL } from './errors.js';
import { madeUpAudio, type MadeUpSet } from './madeupset.js';

const clock = clockWithin(1);

function band(set: MadeUpSet): ReportedBand {
  const place = {
    start: 2.6,
    baud: 100,
    centreHz: 1700,
    inverted: false,
    symbols: [...TEST_CALL],
    expansions: [],
  };
  const measured = measureCall(madeUpAudio(TEST_CALL, set, { ratioDb: 25 }), place, { sampleRate: 12_000 });
  if (!measured) throw new Error('not measured');
  const figures = withClock(measured.figures, clock);
  const verdicts = verdictsOn(figures, tolerancesFor({ band: 'mf-hf', symbols: TEST_CALL }));
  const { lines, detail } = measured;
  return {
    baud: 100,
    texts: ['Test call <1>'],
    unsteadyCalls: 0,
    calls: 1,
    figures,
    verdicts,
    lines,
    detail,
  };
}

const origin = {
  set: 'Bridge & chart room',
  by: 'A. Surveyor',
  setup: 'dummy load',
  when: '2031-05-17T09:30:00.000Z',
};
let faulty: MeasurementReport;
let mended: MeasurementReport;

beforeAll(() => {
  const of = (set: MadeUpSet) => createReport({ ...origin, clock, clockSource: 'given', bands: [band(set)] });
  faulty = of({ y: 0.35 });
  mended = of({});
});

describe('a report', () => {
  const cells = (html: string) =>
    [...parseHTML(html).document.querySelectorAll('tr')].map((row) =>
      [...row.children].map(({ textContent }) => textContent),
    );

  it('says what lies outside, with limits and where they come from', () => {
    const html = reportHtml(faulty);
    expect(html).toContain('Outside the limits: level of B over Y.');
    // 20·log₁₀(0.5/0.35) = 3.098 dB.
    const level = cells(html).find(([name]) => name === 'level of B over Y') ?? [];
    expect(level[1]).toMatch(/^3\.\d+ ± 0\.00\d+ dB$/);
    expect(level.slice(2)).toEqual(['OUTSIDE', '−2 to 2', 'common practice, no source (uncertain)']);
    expect(reportHtml(mended)).toContain('Nothing measured lies outside its limits.');
  });

  it('shows the cautions, what was not measured, four drawings, and nothing that runs or loads', () => {
    const html = reportHtml(faulty);
    const { document } = parseHTML(html);
    expect(document.querySelectorAll('svg')).toHaveLength(4);
    expect(html).toContain('use a dummy load or a cable');
    expect(html).toContain('modulation index');
    expect(html).toContain('Bridge &amp; chart room');
    expect(html).toContain('Test call &lt;1&gt;');
    expect(html).not.toMatch(/<script|https?:|NaN|Infinity|undefined/);
  });

  it('read back from JSON compares before and after', () => {
    const before = readReport(JSON.parse(JSON.stringify(faulty)));
    const html = reportHtml(mended, before);
    const rows = cells(html);
    const row = (name: string) => rows.find(([first]) => first === name) ?? [];
    expect(row('level of B over Y')[2]).toMatch(/^3\.\d+ ± /);
    expect(row('level of B over Y')[3]).toMatch(/^−3\.\d+ ± /);
    expect(row('dots').slice(1, 4)).toEqual(['200', '200', 'none seen']);
  });

  it('shows the ladder', () => {
    const trials = [-2, -1, 0, 1].map((value) => ({ value, isAcknowledged: value > -1 }));
    const air = { band: 'mf-hf', step: 'ratio', lowest: -15, highest: 25 } as const;
    const estimate = {
      half: { value: -0.5, uncertainty: 0.2 },
      nineTenths: { value: 0.3, uncertainty: 0.4 },
      isInRange: true,
    };
    const other = (value: number) => ({ ...estimate, half: { value, uncertainty: 0.1 } });
    const beside = { textbook: other(-6.5), dotphase: other(-0.6) };
    const html = reportHtml(createReport({ ...mended, ladder: { air, trials, estimate, beside } }));
    expect(html).toContain('of 4 calls this set acknowledged one half at −0.50 ± 0.20 dB');
    // 6 dB with 0.2 and 0.1: 0.22.
    expect(html).toContain('this set is worse by 6.00 ± 0.22 dB');
    expect(html).toContain(
      'The receiver of dotphase: one half at −0.60 ± 0.10 dB, nine tenths at 0.30 ± 0.40 dB; no difference to this set is seen.',
    );
    expect(parseHTML(html).document.querySelectorAll('svg')).toHaveLength(5);
    expect(sharesOf(trials)).toContainEqual({ value: -1, tried: 1, acknowledged: 0 });
  });

  it.each([[{}], [null], [{ format: 'dotphase measurement report', version: 2, bands: [] }], ['text']])(
    'is not %j',
    (data) => {
      expect(() => readReport(data)).toThrow('a report in JSON');
    },
  );
});

describe('a comparison', () => {
  // Differences of 1 with uncertainties of 0.3 and 0.4: 0.5 together, and 1.96 · 0.5 = 0.98.
  it('tells a change where both uncertainties do not explain it', () => {
    const at = (value: number, uncertainty: number) => ({ droopDb: { value, uncertainty } });
    expect(compareFigures(at(1, 0.3), at(2, 0.4)).droopDb?.isChanged).toBe(true);
    expect(compareFigures(at(1, 0.3), at(1.97, 0.4)).droopDb?.isChanged).toBe(false);
    expect(compareFigures(at(200, 0), at(200, 0)).droopDb?.isChanged).toBe(false);
    expect(compareFigures({}, at(1, 1))).toEqual({});
  });
});
