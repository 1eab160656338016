/**
 * Writes src/exam/paper.schema.json: the JSON Schema of the plans of papers, from what checks them.
 *
 * Run with `npx tsx tests/exam/planschema.ts`.
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { format } from 'prettier';
import { paperPlanSchema } from '../../src/exam/planschema.js';

const FILE = fileURLToPath(new URL('../../src/exam/paper.schema.json', import.meta.url));
writeFileSync(FILE, await format(JSON.stringify(paperPlanSchema()), { parser: 'json', printWidth: 110 }));
