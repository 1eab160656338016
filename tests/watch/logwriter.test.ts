/** What is written into a log that another program holds now and then. */
import { beforeEach, describe, expect, it } from 'vitest';
import { DotphaseError } from '../../src/index.js';
import type { HeardStore } from '../../src/records/sqlite/index.js';
import { refusal } from '../../src/records/sqlite/refusal.js';
import { createLogWriter } from '../../src/watch/logwriter.js';

/** What SQLite refuses with this result code ("Result and Error Codes": 5 is BUSY, 13 FULL). */
const refuse = (errcode: number) => {
  throw refusal('heard.db', 'log', Object.assign(new Error('no'), { errcode }));
};

let isHeld: boolean;
let written: string[];
let waits: boolean[];
let now: number;
beforeEach(() => {
  [isHeld, written, waits, now] = [false, [], [], 1000];
});

const store = { waitForOthers: (doesWait: boolean) => waits.push(doesWait) } as unknown as HeardStore;
const writes = () => createLogWriter(store, () => now);
const write = (name: string) => () => {
  if (isHeld) refuse(5);
  written.push(name);
};

describe('what is owed to a log', () => {
  it('is written in order once the log is free, each once', () => {
    const { log, settle, heldSince } = writes();
    log(write('a'));
    isHeld = true;
    log(write('b'));
    now = 2000;
    log(write('c'));
    expect(heldSince()).toBe(1000);
    settle();
    expect(written).toEqual(['a']);
    isHeld = false;
    log(write('d'));
    expect(written).toEqual(['a', 'b', 'c', 'd']);
    expect(heldSince()).toBeUndefined();
    settle();
    expect(written).toHaveLength(4);
  });

  it('is waited for at the end alone, and refused where the log is held even then', () => {
    const { log, finish } = writes();
    expect(waits).toEqual([false]);
    isHeld = true;
    log(write('a'));
    expect(finish).toThrow(/another program is writing into it/);
    expect(waits).toEqual([false, true]);
    isHeld = false;
    finish();
    expect(written).toEqual(['a']);
  });

  it('is not tried again where the log fails for good', () => {
    const { log, settle } = writes();
    expect(() => {
      log(() => refuse(13));
    }).toThrow(DotphaseError);
    log(write('a'));
    settle();
    expect(written).toEqual(['a']);
  });
});
