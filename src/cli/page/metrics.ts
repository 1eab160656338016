/**
 * Figures for a collector that reads the text format of Prometheus.
 */
import type { WatchEvent } from '../../watch/index.js';

/** Counts what a watch tells. */
export interface Metrics {
  tell(event: WatchEvent): void;
  text(): Promise<string>;
  readonly contentType: string;
}

/** Sets up the counting, with the library that writes the format. */
export async function createMetrics(): Promise<Metrics> {
  const { Counter, Gauge, Registry, collectDefaultMetrics } = await import('prom-client');
  const registry = new Registry();
  collectDefaultMetrics({ register: registry, prefix: 'dotphase_' });
  const registers = [registry];
  const calls = new Counter({
    name: 'dotphase_calls_total',
    help: 'Sendings received, by input and how sure they are.',
    labelNames: ['input', 'quality'],
    registers,
  });
  const happenings = new Counter({
    name: 'dotphase_input_events_total',
    help: 'What happened to inputs: started, ended, failed, gap, silence, stopped.',
    labelNames: ['input', 'event'],
    registers,
  });
  const level = new Gauge({
    name: 'dotphase_input_level_db',
    help: 'Mean level of the last minute, dB, 0 dB being the mean square 1.',
    labelNames: ['input'],
    registers,
  });
  const held = new Gauge({
    name: 'dotphase_log_held',
    help: '1 while another program has held the log for 3 s or more, so that nothing is logged; otherwise 0.',
    registers,
  });
  const seconds = new Counter({
    name: 'dotphase_input_audio_seconds_total',
    help: 'Audio received.',
    labelNames: ['input'],
    registers,
  });
  let latest = 0;
  return {
    tell(event) {
      if (event.type === 'call') calls.inc({ input: event.input, quality: event.received.quality });
      else if (event.type === 'input') {
        const { id, input, kind } = event.event;
        // What lasts is told when it begins and when it is over, and counted once.
        if (id > latest) happenings.inc({ input, event: kind });
        latest = Math.max(latest, id);
      } else if (event.type === 'held') {
        held.set(event.until === undefined ? 1 : 0);
      } else {
        seconds.inc({ input: event.input }, event.level.seconds);
        const { rmsDb } = event.level;
        if (rmsDb === undefined) level.remove({ input: event.input });
        else level.set({ input: event.input }, rmsDb);
      }
    },
    text: () => registry.metrics(),
    contentType: registry.contentType,
  };
}
