/**
 * What a person says about the set and the sound card, as typed, and what it means.
 */
import { DotphaseError, parseIdentity } from 'dotphase';
import { parseFrequency, parseTimeOfDay } from 'dotphase/frequencies';
import {
  USUAL_CLOCK_PPM,
  clockWithin,
  readOwnLimits,
  type Figure,
  type JudgeSettings,
  type OwnLimits,
} from 'dotphase/measure';
import type { Reference } from './protocol.js';

/** How the clock of the sound card is known. */
export type ClockKind = 'unknown' | 'within' | 'reference';

/** What recordings hold. */
export type RecordingKind = 'audio' | 'slice';

export interface SettingsDraft {
  kind: RecordingKind;
  tuned: string;
  clock: ClockKind;
  clockPpm: string;
  referenceHz: string;
  referenceChannel: '0' | '1';
  identity: string;
  latitude: string;
  longitude: string;
  time: string;
  limits: string;
  set: string;
  by: string;
  setup: string;
}

export const FIRST_SETTINGS: SettingsDraft = {
  kind: 'audio',
  tuned: '',
  clock: 'unknown',
  clockPpm: '5',
  referenceHz: '1000',
  referenceChannel: '0',
  identity: '',
  latitude: '',
  longitude: '',
  time: '',
  limits: '',
  set: '',
  by: '',
  setup: '',
};

/** What the draft means, and what is wrong with it by the names of its fields. */
export interface Settings {
  /** Undefined where the clock hangs on a reference. */
  readonly clock: Figure | undefined;
  readonly clockSource: string;
  readonly reference: Reference | undefined;
  /** The frequency in a slice's middle, hertz, where it is said. */
  readonly tunedHz: number | undefined;
  readonly judge: Omit<JudgeSettings, 'clock'>;
  readonly complaints: Partial<Record<keyof SettingsDraft, string>>;
}

function numberOf(text: string, lowest: number, highest: number, field: string): number {
  const value = Number(text.trim().replace(',', '.').replace('−', '-'));
  if (text.trim() === '' || !(value >= lowest && value <= highest))
    throw new DotphaseError(field, text, `a number from ${lowest} to ${highest}`);
  return value;
}

function limitsOf(text: string): OwnLimits {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new DotphaseError('limits', text, 'JSON, for example {"droopDb": [-0.5, 0.5]}');
  }
  return readOwnLimits(data);
}

export function settingsOf(draft: SettingsDraft): Settings {
  const complaints: Partial<Record<keyof SettingsDraft, string>> = {};
  const read = <T>(field: keyof SettingsDraft, take: () => T): T | undefined => {
    try {
      return take();
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      const place = error.field.includes('.') ? `${error.field}: ` : '';
      complaints[field] = `${place}expected ${error.expected}.`;
      return undefined;
    }
  };
  const given = (field: keyof SettingsDraft) => draft[field].trim() !== '';
  const readPosition = () => {
    if (!given('latitude') && !given('longitude')) return undefined;
    const latitude = read('latitude', () => numberOf(draft.latitude, -90, 90, 'latitude'));
    const longitude = read('longitude', () => numberOf(draft.longitude, -180, 180, 'longitude'));
    return latitude === undefined || longitude === undefined ? undefined : { latitude, longitude };
  };
  // A slice has no place for a reference.
  const clock = draft.kind === 'slice' && draft.clock === 'reference' ? 'unknown' : draft.clock;
  const tunedHz =
    draft.kind === 'slice' && given('tuned') ? read('tuned', () => parseFrequency(draft.tuned)) : undefined;
  const ppm =
    clock === 'within' ? read('clockPpm', () => numberOf(draft.clockPpm, 0, 1000, 'ppm')) : undefined;
  const hz =
    clock === 'reference'
      ? read('referenceHz', () => numberOf(draft.referenceHz, 0.1, 80_000, 'Hz'))
      : undefined;
  const identity = given('identity') ? read('identity', () => parseIdentity(draft.identity)) : undefined;
  const position = readPosition();
  const time = given('time') ? read('time', () => parseTimeOfDay(draft.time.trim())) : undefined;
  const own = given('limits') ? read('limits', () => limitsOf(draft.limits)) : undefined;
  return {
    clock: clock === 'reference' ? undefined : clockWithin(ppm ?? USUAL_CLOCK_PPM),
    clockSource: hz === undefined ? 'not calibrated' : `calibrated against ${hz} Hz`,
    tunedHz,
    reference: hz === undefined ? undefined : { hz, channel: Number(draft.referenceChannel) },
    judge: {
      ...(own && { own }),
      truth: {
        ...(identity !== undefined && { identity }),
        ...(position && { position }),
        ...(time !== undefined && { time }),
      },
    },
    complaints,
  };
}
