import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { referenceFiles } from './generate.js';

const files = await referenceFiles();
const docs = fileURLToPath(new URL('../../docs/', import.meta.url));

it('the reference is what the call tables say', () => {
  for (const [path, content] of files) expect(readFileSync(docs + path, 'utf8'), path).toBe(content);
  const drawings = readdirSync(`${docs}reference`).map((name) => `reference/${name}`);
  expect(drawings.toSorted()).toEqual([...files.keys()].filter((path) => path.endsWith('.svg')).toSorted());
});

it('every drawing shows the time and each slot of its call', () => {
  const alert = files.get('reference/distressAlert.svg') ?? '';
  expect(alert).toContain('7.2 s in all');
  // 26 pairs of slots, and the two boxes of paper and dots with the two of their pattern.
  expect(alert.match(/<rect /g)).toHaveLength(52 + 4);
  expect(files.get('reference/testCall.svg')).toContain('6.4 s in all');
  for (const [path, content] of files) {
    if (path.endsWith('.svg')) expect(content).not.toMatch(/NaN|undefined|Infinity/);
  }
});
