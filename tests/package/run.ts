/**
 * Programs run to their end.
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** The package's own folder. */
export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** The environment without what makes programs colour what they write into a pipe. */
const PLAIN = { ...process.env };
delete PLAIN.FORCE_COLOR;

/** What a program printed, with its errors on request; throws with all it said where it failed. */
export function run(
  program: string,
  args: readonly string[],
  cwd: string,
  env: Readonly<Record<string, string>> = {},
  { withErrors = false } = {},
): string {
  const options = { cwd, env: { ...PLAIN, ...env }, encoding: 'utf8' } as const;
  const { status, stdout, stderr, error } = spawnSync(program, args, options);
  if (error) throw error;
  if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stdout}${stderr}`);
  return withErrors ? stdout + stderr : stdout;
}
