import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { MODULE_FILE, compileVectorModule } from './vectormodule.js';

it('the vector arithmetic that is committed is what its source compiles to', () => {
  // The formatter may break the line before the text.
  const text = (file: string) => file.replace(/\s+/g, ' ');
  expect(text(readFileSync(MODULE_FILE, 'utf8'))).toBe(text(compileVectorModule()));
});
