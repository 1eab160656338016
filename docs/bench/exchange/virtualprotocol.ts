/**
 * What the page and the worker of the virtual stations say to each other.
 */
import type { Identity } from 'dotphase';
import type { StationAction, StationEvent, StationState } from 'dotphase/procedures';
import type { SimulationEvent, Behaviour, Scenario } from 'dotphase/simulation';
import type { LiveReading } from '../listen/livereader.js';

export type ToVirtual =
  | { type: 'open'; scenario: Scenario }
  /** The frequency that is heard, hertz. */
  | { type: 'tune'; frequencyHz: number }
  | { type: 'act'; event: StationEvent }
  /** Another station behaves otherwise from now on. */
  | { type: 'conduct'; station: Identity; behaviour: Behaviour }
  /** Another station does something of its own accord. */
  | { type: 'actFor'; station: Identity; event: StationEvent };

export type FromVirtual =
  | { type: 'events'; events: readonly SimulationEvent[]; state: StationState }
  | { type: 'reading'; reading: LiveReading }
  | { type: 'audio'; samples: Float32Array<ArrayBuffer> }
  /** Another station did not do what it was told to. */
  | { type: 'refused'; refusal: Extract<StationAction, { type: 'refuse' }> }
  | { type: 'failed'; reason: string };
