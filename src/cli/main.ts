#!/usr/bin/env node
/**
 * The `dotphase` command.
 */
import { run } from './program.js';

// Whoever reads the output may close the pipe when he has enough.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit();
  throw error;
});

await run(process.argv.slice(2));
