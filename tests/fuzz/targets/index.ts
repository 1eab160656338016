/** Every target. */
import type { Target } from '../target.js';
import { bookCsv, bookJson } from './addressbook.js';
import { calls } from './calls.js';
import { channel } from './channel.js';
import { log } from './log.js';
import { logFile } from './logfile.js';
import { navigation } from './navigation.js';
import { answers, keys, plans } from './paper.js';
import { procedures } from './procedures.js';
import { receiver } from './receiver.js';
import { scenario } from './scenario.js';
import { sentences } from './sentences.js';
import { symbols } from './symbols.js';
import { raw, wav, wavFile } from './wav.js';

/** Every target. */
export const TARGETS: readonly Target[] = [
  wav,
  wavFile,
  raw,
  receiver,
  calls,
  symbols,
  sentences,
  navigation,
  channel,
  procedures,
  scenario,
  plans,
  keys,
  answers,
  bookJson,
  bookCsv,
  log,
  logFile,
];
