import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { VECTOR_SOURCES, compileVectorSource, moduleFile } from './vectormodule.js';

it.each(VECTOR_SOURCES)(
  'the vector arithmetic of $name that is committed is what its source compiles to',
  (source) => {
    // The formatter may break the line before the text.
    const text = (file: string) => file.replace(/\s+/g, ' ');
    expect(text(readFileSync(moduleFile(source), 'utf8'))).toBe(text(compileVectorSource(source)));
  },
);
