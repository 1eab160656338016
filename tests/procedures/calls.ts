/** Stations, DSC frequencies and calls about distress that the tests of procedures share. */
import type { Call, DistressAlert, DistressRelay } from '../../src/calls/index.js';
import type { StationEvent } from '../../src/procedures/index.js';

export const SHIP = '299000111';
export const OTHER = '299000222';
export const THIRD = '299000333';
export const COAST = '002990001';
export const SECOND_COAST = '002990002';

/** DSC distress frequencies, hertz (M.541 Annex 5, from memory). */
export const MF = 2_187_500;
export const VHF = 156_525_000;
export const HF8 = 8_414_500;

export const MINUTE = 60_000;

export const alertFrom = (self: string): DistressAlert => ({
  kind: 'distressAlert',
  self,
  nature: 'flooding',
  position: { latitude: 48.5, longitude: -12.25 },
  time: '11:40',
  followOn: 'j3e',
});

export const relayOf = (casualty: string, to: DistressRelay['to'], self: string): DistressRelay => ({
  ...alertFrom(casualty),
  kind: 'distressRelay',
  to,
  self,
  casualty,
});

export const acknowledgementFor = (casualty: string, self = COAST): Call => ({
  ...alertFrom(casualty),
  kind: 'distressAcknowledgement',
  self,
  casualty,
});

export const received = (call: Call, frequencyHz: number): StationEvent => ({
  type: 'received',
  call,
  frequencyHz,
});
