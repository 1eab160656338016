/**
 * Expansions: sequences that may follow a call and make its content more precise (ITU-R M.821-1, from memory).
 */
import type { EndOfSequence, Unassigned } from '../values.js';

/** In place of data: the expansion asks for them (110) or has none (126). */
export type NoData = 'requested' | 'none';

/** How an expansion stands among its neighbours; only where it is not the default. */
export interface ExpansionPlace {
  /** True where it shares one end of sequence and one error check with the expansion before it. */
  joined?: true;
  /** Only where its end of sequence is not the call's. */
  eos?: EndOfSequence;
}

/** Makes the call's position finer, to 1/10000 minute (specifier 100). */
export interface FinePosition extends ExpansionPlace {
  kind: 'finePosition';
  /**
   * Absent where the call's own position holds the ten-thousandths. Otherwise the steps of 1/10000 minute by
   * themselves, each 0–9999.
   */
  value?: { latitude: number; longitude: number } | NoData | Unassigned;
}

/** Where the position comes from (uncertain memory of M.821-1 §2.2). */
export type PositionSourceName =
  | 'invalid'
  | 'differentialGps'
  | 'gps'
  | 'differentialLoranC'
  | 'loranC'
  | 'glonass'
  | 'radar'
  | 'decca'
  | 'other';

/** Geodetic datum of the position (uncertain memory of M.821-1 §2.2). */
export type DatumName = 'wgs84' | 'wgs72' | 'other';

/** Source, resolution and datum of the position (specifier 101; the layout is remembered with doubt). */
export interface PositionSource extends ExpansionPlace {
  kind: 'positionSource';
  value:
    | {
        source: PositionSourceName;
        /** Resolution of the fix in minutes, 0–9.9 in steps of 0.1. */
        resolutionMinutes: number;
        datum: DatumName;
      }
    | NoData
    | Unassigned;
}

/** The speed of the vessel (specifier 102). */
export interface Speed extends ExpansionPlace {
  kind: 'speed';
  /** Knots, 0–999.9 in steps of 0.1. */
  value: number | NoData | Unassigned;
}

/** The course of the vessel (specifier 103). */
export interface Course extends ExpansionPlace {
  kind: 'course';
  /** Degrees, 0–359.9 in steps of 0.1. */
  value: number | NoData | Unassigned;
}

/** Further identification of the station, for example its name (specifier 104). */
export interface FurtherIdentification extends ExpansionPlace {
  kind: 'furtherIdentification';
  /** 1–20 of the characters A–Z, 0–9, `.`, `,`, `-`, `/` and space, or `'requested'` or `'none'`. */
  value: string | Unassigned;
}

/** Makes the area of the call finer (specifier 105; the layout is remembered with doubt). */
export interface RefinedArea extends ExpansionPlace {
  kind: 'refinedArea';
  value:
    | {
        /** Minutes of latitude and longitude to add to the corner's degrees, 0–59.99 in steps of 0.01. */
        latitudeMinutes: number;
        /** Likewise. */
        longitudeMinutes: number;
        /** Minutes to add to the sides' degrees, 0–59.99 in steps of 0.01. */
        southMinutes: number;
        /** Likewise. */
        eastMinutes: number;
        /** Speed of the vessels meant, knots, 0–999.9 in steps of 0.1. */
        speed: number;
        /** Course of the vessels meant, degrees, 0–359.9 in steps of 0.1. */
        course: number;
      }
    | NoData
    | Unassigned;
}

/** How many persons are on board (specifier 106). */
export interface PersonsOnBoard extends ExpansionPlace {
  kind: 'personsOnBoard';
  /** 0–9999. */
  value: number | NoData | Unassigned;
}

/** An expansion whose specifier is not assigned: kept whole, sent again as it is. */
export interface UnassignedExpansion extends ExpansionPlace {
  kind: 'unassignedExpansion';
  symbols: number[];
}

/** Every expansion there is. */
export type Expansion =
  | FinePosition
  | PositionSource
  | Speed
  | Course
  | FurtherIdentification
  | RefinedArea
  | PersonsOnBoard
  | UnassignedExpansion;
