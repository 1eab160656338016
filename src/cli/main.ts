#!/usr/bin/env node
/**
 * The `dotphase` command.
 */
import { guardOutput } from './output.js';
import { run } from './program.js';

guardOutput();
await run(process.argv.slice(2));
