/**
 * The values that fields of a call take, as plain JSON data.
 */
import type {
  CategoryName,
  EndOfSequenceName,
  FirstTelecommandName,
  FollowOnName,
  NatureName,
  SecondTelecommandName,
} from '../symbols/index.js';

/** A field whose symbols have no assigned meaning there; they are kept and sent again as they are. */
export interface Unassigned {
  /** The field's symbols in order, each 0–127. */
  unassigned: number[];
}

/** A received character: its symbol, 0–127, or null where it was not received. */
export type Character = number | null;

/**
 * How certain a character must be to count as received: where its certainty is lower, its symbol is never given as a
 * value.
 */
export const LEAST_CERTAINTY = 0.9;

/** A field of which not every character was received. Such a field is only decoded, never sent. */
export interface NotReceived {
  /** The field's characters in order, null where not received; as many as are known to be its own. */
  notReceived: Character[];
}

/** A value in which every field that may be unassigned may also be {@link NotReceived}. */
export type WithNotReceived<Value> = Value extends Unassigned
  ? Value | NotReceived
  : Value extends object
    ? { [Key in keyof Value]: WithNotReceived<Value[Key]> }
    : Value;

/** Nine decimal digits, for example `'299123456'` (M.585). */
export type Identity = string;

/** A position in decimal degrees, WGS 84. */
export interface Position {
  /** −90 to 90, north positive. Sent cut off to the minute, or to 1/10000 minute with a `finePosition` expansion. */
  latitude: number;
  /** −180 to 180, east positive; likewise. */
  longitude: number;
  /** Only where a coordinate is zero and the sender chose another quadrant than its sign implies (north, east). */
  quadrant?: Quadrant;
}

/** The four quadrants, as digits 0–3 of a position or an area (M.493 §8.1.2). */
export type Quadrant = 'NE' | 'NW' | 'SE' | 'SW';

/** Hours and minutes UTC as `'HH:MM'`, `00:00` to `23:59`. */
export type TimeOfDay = string;

/** Hours and minutes UTC of a moment, milliseconds since 1970, as a call gives them. */
export function timeOfDay(milliseconds: number): TimeOfDay {
  return new Date(milliseconds).toISOString().slice(11, 16);
}

/** A geographic area: a rectangle given by its north-west corner and its sides in degrees (M.493 §5.3). */
export interface Area {
  /** Whole degrees, −90 to 90, north positive. */
  latitude: number;
  /** Whole degrees, −180 to 180, east positive. */
  longitude: number;
  /** Whole degrees southwards from the corner, 0–99. */
  south: number;
  /** Whole degrees eastwards from the corner, 0–99. */
  east: number;
  /** As in {@link Position}. */
  quadrant?: Quadrant;
}

/** Whom a call is for; it decides the format specifier. */
export type Address =
  | 'allShips'
  | { area: Area | Unassigned }
  | { group: Identity | Unassigned }
  | { station: Identity | Unassigned };

/** One half of a frequency message (M.493 §8.3.2). */
export type Channel =
  | 'none'
  | {
      /** Hertz; multiples of 100 Hz go out as three symbols, other multiples of 10 Hz as four. */
      hz: number;
      /** 10 where a multiple of 100 Hz is nevertheless sent as a multiple of 10 Hz. */
      resolutionHz?: 10;
    }
  | {
      /** MF/HF channel number of RR Appendix 17, 0–99999. */
      channel: number;
    }
  | {
      /** VHF channel number of RR Appendix 18, 0–999. */
      vhfChannel: number;
      /** Which side of a duplex channel is used alone. */
      simplex?: 'ship' | 'coast';
    }
  | Unassigned;

/**
 * Working channels, seen from the called station; in an acknowledgement from the station that acknowledges, which is
 * the one that was called.
 */
export interface FrequencyMessage {
  /** On which that station is to receive. */
  receive: Channel;
  /** On which it is to transmit. */
  transmit: Channel;
}

/** A position sent where a frequency could stand: symbol 55, the position and, usually, its time. */
export interface PositionMessage {
  position: Position | 'none' | Unassigned;
  time?: TimeOfDay | 'none' | Unassigned;
}

/** What an individual, group or area call carries after its telecommands. */
export type Message = FrequencyMessage | PositionMessage | Unassigned;

/** A field that holds one word of its vocabulary. */
export type Category = CategoryName | Unassigned;
/** Nature of distress. */
export type Nature = NatureName | Unassigned;
/** First telecommand. */
export type FirstTelecommand = FirstTelecommandName | Unassigned;
/** Second telecommand. */
export type SecondTelecommand = SecondTelecommandName | Unassigned;
/** Follow-on communication of a distress call. */
export type FollowOn = FollowOnName | Unassigned;
/** End of sequence. */
export type EndOfSequence = EndOfSequenceName | Unassigned;

/** Whether a value is an {@link Unassigned} field. */
export function isUnassigned(value: unknown): value is Unassigned {
  return typeof value === 'object' && value !== null && 'unassigned' in value;
}

/** Whether a value is a field of which not every character was received. */
export function isNotReceived(value: unknown): value is NotReceived {
  return typeof value === 'object' && value !== null && 'notReceived' in value;
}

/** Whether a field says something: it was received, and its characters mean something there. */
export function hasValue<Value>(value: Value): value is Exclude<Value, Unassigned | NotReceived> {
  return !isUnassigned(value) && !isNotReceived(value);
}
