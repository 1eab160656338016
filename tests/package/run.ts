/**
 * Programs run to their end.
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** The package's own folder. */
export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** What a program printed; throws with all it said where it failed. */
export function run(program: string, args: readonly string[], cwd: string): string {
  const { status, stdout, stderr, error } = spawnSync(program, args, { cwd, encoding: 'utf8' });
  if (error) throw error;
  if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stdout}${stderr}`);
  return stdout;
}
