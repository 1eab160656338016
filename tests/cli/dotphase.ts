/**
 * Runs the built command line as a child process.
 */
import { spawn, spawnSync } from 'node:child_process';
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of the package. */
export const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const DIST = join(ROOT, 'dist', 'cli');

/** The file that `dotphase` runs. */
export const MAIN = join(DIST, 'main.js');

/** Builds what is run, unless it is newer than all its sources. */
export function build(): void {
  const sources = readdirSync(join(ROOT, 'src'), { recursive: true, withFileTypes: true });
  const newest = Math.max(...sources.map((entry) => statSync(join(entry.parentPath, entry.name)).mtimeMs));
  const built = statSync(join(DIST, 'main.js'), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (built > newest) return;
  spawnSync('npm run build', { cwd: ROOT, shell: true, stdio: 'inherit' });
}

/** What a run left. */
export interface Run {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
  /** Standard output as it came. */
  readonly bytes: Buffer;
}

/** How to run it. */
export interface RunOptions {
  readonly input?: Uint8Array | string;
  readonly cwd?: string;
  readonly env?: Readonly<Record<string, string>>;
}

/** Runs one of the programs in dist/cli. */
export function runProgram(
  program: 'main' | 'demo',
  args: readonly string[],
  { input = '', cwd = ROOT, env = {} }: RunOptions = {},
): Promise<Run> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [join(DIST, `${program}.js`), ...args], {
      cwd,
      env: { PATH: process.env.PATH, COLUMNS: '100', ...env },
    });
    const out: Buffer[] = [];
    const err: Buffer[] = [];
    child.stdout.on('data', (bytes: Buffer) => out.push(bytes));
    child.stderr.on('data', (bytes: Buffer) => err.push(bytes));
    child.stdin.on('error', () => undefined);
    child.on('error', reject);
    child.on('close', (code) => {
      const bytes = Buffer.concat(out);
      resolve({ code, bytes, stdout: bytes.toString('utf8'), stderr: Buffer.concat(err).toString('utf8') });
    });
    child.stdin.end(input);
  });
}

/** Runs `dotphase`. */
export const dotphase = (args: readonly string[], options?: RunOptions) => runProgram('main', args, options);
