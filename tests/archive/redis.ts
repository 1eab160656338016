/**
 * A Redis of its own for a test: started and stopped by it. Debian: redis-server.
 */
import { spawn, spawnSync } from 'node:child_process';
import { createServer, type AddressInfo } from 'node:net';

export const HAS_REDIS = spawnSync('redis-server', ['--version']).status === 0;

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  await new Promise((done) => server.close(done));
  return port;
}

export interface OwnRedis {
  readonly address: string;
  readonly stop: () => void;
}

/** Starts one that keeps nothing on disk. */
export async function startRedis(): Promise<OwnRedis> {
  const port = await freePort();
  const server = spawn('redis-server', ['--port', String(port), '--bind', '127.0.0.1', '--save', '']);
  await new Promise<void>((done, fail) => {
    let said = '';
    server.stdout.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      if (said.includes('Ready to accept connections')) done();
    });
    server.on('exit', () => {
      fail(new Error(`redis-server ended: ${said}`));
    });
  });
  return { address: `redis://127.0.0.1:${port}`, stop: () => server.kill() };
}
