/**
 * A station that answers through a sound card.
 */
import { DotphaseError } from '../../errors.js';
import { bandOf } from '../../frequencies/index.js';
import type { AnsweringEvent, AnsweringStation } from '../../simulation/index.js';
import { callToAudio } from '../../transmitter/index.js';
import { STANDARD_STREAM } from '../input.js';
import type { RawFlags } from '../rawflags.js';
import { InputLevel } from '../sound/level.js';
import type { SoundPort } from '../sound/port.js';
import type { Teller } from './teller.js';

/** Throws where files or pipes are named beside a sound card. */
export function refuseStreams(file: string, { out, raw }: RawFlags & { readonly out: string }): void {
  const expected = 'either files or pipes, or the options of a sound card';
  if (file !== STANDARD_STREAM) throw new DotphaseError('file', file, expected);
  if (out !== STANDARD_STREAM) throw new DotphaseError('--out', out, expected);
  if (raw !== undefined) throw new DotphaseError('--raw', raw, expected);
}

/**
 * Listens and answers until the sound ends, or the process does.
 *
 * @param create - makes the station; its answers are played whole, at once, so that the player never waits for them
 * @param amplitude - peak amplitude of the answers, 0–1
 * @throws DotphaseError when the sound fails
 */
export async function answerLive(
  port: SoundPort,
  teller: Teller,
  create: (sampleRate: number, onEvent: (event: AnsweringEvent) => void) => AnsweringStation,
  amplitude: number,
): Promise<void> {
  const { sampleRate } = port;
  const level = new InputLevel(sampleRate);
  const state = { isSending: false };
  const play = ({ call, frequencyHz }: Extract<AnsweringEvent, { type: 'answering' }>) => {
    state.isSending = true;
    port.play(callToAudio(call, { band: bandOf(frequencyHz), sampleRate, level: amplitude }), (isWhole) => {
      state.isSending = false;
      if (isWhole) teller.wentOut();
    });
  };
  const station = create(sampleRate, (event) => {
    teller.take(event);
    if (event.type === 'answering') play(event);
  });
  for await (const block of port.blocks()) {
    if (block.length === 0) continue;
    if (!state.isSending) for (const text of level.push(block)) teller.warn(port.now(), text);
    station.push(block);
  }
}
