#!/usr/bin/env node
/**
 * The `dotphase` command.
 */
import { run } from './program.js';

await run(process.argv.slice(2));
