/** The JSON Schema of calls that the package gives out is what its types say: it is made anew, which takes a compiler. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { SCHEMA_FILE, schemaText } from '../schema/generate.js';

it('the JSON Schema of calls is what the types say', async () => {
  expect(readFileSync(SCHEMA_FILE, 'utf8')).toBe(await schemaText());
});
