/**
 * After each test its pages go: what still plays and listens in one would take the processor from the next test.
 */
import { afterEach } from 'vitest';
import { closePages } from './page.js';

afterEach(closePages);
