import { describe, expect, it } from 'vitest';
import { createReceiverStream, receiveFrom, type ReceivedCall } from '../../src/receiver/index.js';
import { callToAudio } from '../../src/transmitter/index.js';

const sampleRate = 8000;
const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
const audio = callToAudio(call, { band: 'vhf', sampleRate });
/** The call, half a second of silence behind it, in blocks of 100 ms. */
const blocks = Array.from({ length: Math.ceil(audio.length / 800) + 5 }, (_, i) => {
  const block = new Float32Array(800);
  block.set(audio.subarray(800 * i, 800 * (i + 1)));
  return block;
});

async function collect(calls: AsyncIterable<ReceivedCall>): Promise<unknown[]> {
  const all = [];
  for await (const received of calls) all.push(received.call);
  return all;
}

/** Gives the blocks, tells when it is closed, and never gives another. */
function endless() {
  const state = { isClosed: false };
  const source = {
    i: 0,
    [Symbol.asyncIterator]() {
      return this;
    },
    next(): Promise<IteratorResult<Float32Array>> {
      if (this.i < blocks.length) return Promise.resolve({ done: false, value: blocks[this.i++] });
      return new Promise(() => undefined);
    },
    return(): Promise<IteratorResult<Float32Array>> {
      state.isClosed = true;
      return Promise.resolve({ done: true, value: undefined });
    },
  };
  return { source, state };
}

describe('receiveFrom', () => {
  it('gives calls from any iterable of blocks', async () => {
    expect(await collect(receiveFrom(blocks, { sampleRate }))).toEqual([call]);
    async function* later() {
      for (const block of blocks) yield await Promise.resolve(block);
    }
    expect(await collect(receiveFrom(later(), { sampleRate, bands: ['vhf'] }))).toEqual([call]);
  });

  it('gives a call before the source ends, and closes a source that is left', async () => {
    const { source, state } = endless();
    for await (const received of receiveFrom(source, { sampleRate })) {
      expect(received.call).toEqual(call);
      break;
    }
    expect(state.isClosed).toBe(true);
  });

  it('stops at its signal while it waits for a block that never comes', async () => {
    const { source, state } = endless();
    const stop = new AbortController();
    const seen: unknown[] = [];
    const run = (async () => {
      for await (const received of receiveFrom(source, { sampleRate, signal: stop.signal })) {
        seen.push(received.call);
        setTimeout(() => {
          stop.abort(new Error('the watch is over'));
        }, 10);
      }
    })();
    await expect(run).rejects.toThrow('the watch is over');
    expect(seen).toEqual([call]);
    expect(state.isClosed).toBe(true);
  });

  it('takes nothing where its signal was aborted before', async () => {
    const { source } = endless();
    const run = collect(
      receiveFrom(source, { sampleRate, signal: AbortSignal.abort(new Error('no watch')) }),
    );
    await expect(run).rejects.toThrow('no watch');
  });

  it('passes on what breaks its source', async () => {
    function* broken() {
      yield blocks[0];
      throw new Error('the cable is out');
    }
    await expect(collect(receiveFrom(broken(), { sampleRate }))).rejects.toThrow('the cable is out');
  });

  it('refuses an option by its name', async () => {
    await expect(collect(receiveFrom(blocks, { sampleRate: 7999 }))).rejects.toThrow(/^sampleRate: got 7999/);
  });
});

describe('a stream of the platform', () => {
  it('gives the calls of the blocks that are piped into it', async () => {
    const stream = new ReadableStream<Float32Array>({
      start(controller) {
        for (const block of blocks) controller.enqueue(block);
        controller.close();
      },
    });
    const reader = stream.pipeThrough(createReceiverStream({ sampleRate })).getReader();
    const { value } = await reader.read();
    expect(value?.call).toEqual(call);
    expect((await reader.read()).done).toBe(true);
  });
});
