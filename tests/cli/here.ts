/**
 * Runs a command line within the test's own process: many times faster than a process of its own.
 */
import { vi } from 'vitest';
import { run } from '../../src/cli/program.js';

/** What a run left. */
export interface Outcome {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

const exitCode = (): number => Number(process.exitCode);

/** Runs `dotphase` on a screen of 100 columns. */
export async function here(
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<Outcome> {
  const text = { stdout: '', stderr: '' };
  vi.stubEnv('COLUMNS', '100');
  const outside = Object.keys(process.env).filter((name) => name.startsWith('DOTPHASE_'));
  for (const name of ['NO_COLOR', 'FORCE_COLOR', 'CI', ...outside]) vi.stubEnv(name, undefined);
  for (const [name, value] of Object.entries(env)) vi.stubEnv(name, value);
  const spies = (['stdout', 'stderr'] as const).map((stream) =>
    vi.spyOn(process[stream], 'write').mockImplementation((chunk, ...more: unknown[]) => {
      text[stream] += String(chunk);
      const done = more.at(-1);
      if (typeof done === 'function') queueMicrotask(done as () => void);
      return true;
    }),
  );
  const before = process.exitCode;
  process.exitCode = 0;
  try {
    await run(args);
    return { code: exitCode(), ...text };
  } finally {
    process.exitCode = before;
    for (const spy of spies) spy.mockRestore();
    vi.unstubAllEnvs();
  }
}
