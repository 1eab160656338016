/**
 * The learner's page: every section but the last says where it has its facts from and asks a question that it answers,
 * and its figures are those of the library.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bitsToLetters, encodeCall, frameCall, symbolToBits } from '../../src/index.js';
import { followUp, followUpRequest } from '../../src/frequencies/index.js';
import { ALERT } from '../../docs/build/sounds/calls.js';

const page = readFileSync(new URL('../../docs/pages/twenty.md', import.meta.url), 'utf8');
const sections = page.split(/^## /m).slice(1);
const rows = [...page.matchAll(/^\| (VHF channel 70|[\d.]+ kHz) +\| (channel 16|[\d.]+ kHz) +\|$/gm)];

describe('the learner’s page', () => {
  it.each(sections.slice(0, -1).map((section) => [section.split('\n')[0], section]))(
    '%s: has its sources and a question',
    (_, section) => {
      expect(section).toMatch(/<small>Sources: .+<\/small>/);
      expect(section).toMatch(/<details><summary>Ask yourself: [^<]+\?<\/summary>\n\n[^]+\n\n<\/details>/);
    },
  );

  it('has the distress frequencies and what follows on each', () => {
    expect(rows).toHaveLength(7);
    for (const [, dsc, voice] of rows) {
      const hz = dsc.startsWith('VHF') ? 156_525_000 : 1000 * parseFloat(dsc);
      expect(followUp(followUpRequest(ALERT, hz)).text).toContain(voice.replace(' kHz', ''));
    }
  });

  it('tells characters and lengths as they are', () => {
    const letters = bitsToLetters(symbolToBits(125));
    expect(page).toContain(`are ${Array.from(letters.slice(0, 7)).join(' ')}.`);
    expect(page).toContain(`the most significant first: ${Array.from(letters.slice(7)).join(' ')}.`);
    // High four times, low three times, then low, high, high.
    expect(bitsToLetters(symbolToBits(112))).toBe('BBBBYYYYBB');
    const attempt = frameCall(encodeCall(ALERT), { band: 'mf-hf', repeat: 5 });
    expect(page).toContain(`${attempt.duration.toFixed(0)} seconds on MF or HF`);
  });
});
