/**
 * What an exchange goes over: the sound card with a real set at its other end, or virtual stations within the page.
 */
import type { Identity } from 'dotphase';
import type { StationEvent, StationState } from 'dotphase/procedures';
import type { SimulationEvent } from 'dotphase/simulation';
import type { LiveReading } from '../listen/livereader.js';

/** What a link tells. */
export interface LinkEvents {
  /** Something happened at the own station. */
  readonly onEvent: (event: SimulationEvent) => void;
  /** The own station's procedures as they stand. */
  readonly onState: (state: StationState) => void;
  /** Characters of a call while it comes in. */
  readonly onReading: (reading: LiveReading) => void;
  /** The highest amplitude of the latest samples that came in. */
  readonly onLevel: (peak: number) => void;
  /** Something is wrong with the link itself; `isOver` where it has ended by that. */
  readonly onTrouble: (text: string, isOver: boolean) => void;
}

/** Who the own station is. */
export interface OwnStation {
  readonly identity: Identity;
  readonly name?: string;
  /** The coast station that relays go to. */
  readonly coastStation?: Identity;
}

/** An exchange's way to the other station and back. */
export interface Link {
  /** Milliseconds since 1970 UTC at second 0 of what the link receives. */
  readonly startedAt: number;
  /** Does something at the own station now. */
  act(event: StationEvent): void;
  close(): void;
}
