/**
 * The names that users import from each subpath, as api.md lists them, so that no change to them goes unseen. Where
 * one is meant: `npx vitest run --config tests/package/vitest.config.ts tests/package/api.test.ts -u`.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { expect, inject, it } from 'vitest';
import { ROOT } from './run.js';

interface Manifest {
  readonly exports: Readonly<Record<string, string | { readonly types: string }>>;
}

/** What a name stands for. */
function kindOf(symbol: ts.Symbol, checker: ts.TypeChecker): string {
  const { flags } = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
  if (flags & ts.SymbolFlags.Class) return 'class';
  if (flags & ts.SymbolFlags.Function) return 'function';
  if (flags & ts.SymbolFlags.Variable) return 'constant';
  return 'type';
}

/** One line for each name, in alphabetical order of the kinds and within them. */
function namesOf(file: string, program: ts.Program): string[] {
  const checker = program.getTypeChecker();
  const source = program.getSourceFile(file);
  const module = source && checker.getSymbolAtLocation(source);
  if (!module) throw new Error(`${file} exports nothing`);
  return checker
    .getExportsOfModule(module)
    .map((each) => `- ${kindOf(each, checker)} ${each.name}`)
    .sort();
}

it('are those of the list', async () => {
  const { exports } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as Manifest;
  const faces = Object.entries(exports).flatMap(([subpath, target]) =>
    typeof target === 'string' ? [] : [[subpath, join(inject('staged'), target.types)] as const],
  );
  const program = ts.createProgram(
    faces.map(([, file]) => file),
    { module: ts.ModuleKind.NodeNext, target: ts.ScriptTarget.ES2022, skipLibCheck: true, types: [] },
  );
  const chapters = faces.map(
    ([subpath, file]) => `## dotphase${subpath.slice(1)}\n\n${namesOf(file, program).join('\n')}\n`,
  );
  await expect(`# Public names\n\n${chapters.join('\n')}`).toMatchFileSnapshot('api.md');
});
