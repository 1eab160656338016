/**
 * The calls that the pages let one hear. Vessels and stations are invented: the digits 299 are allotted to nobody.
 */
import type { Call } from '../../../src/index.js';

/** A yacht in open sea takes in water: the call that the walk follows. */
export const ALERT: Call = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};

/** The same yacht tests its radio with a coast station. */
export const TEST_CALL: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };

/** The coast station's answer. */
export const TEST_ACKNOWLEDGEMENT: Call = {
  kind: 'testAcknowledgement',
  to: { station: '299123456' },
  self: '002991234',
};
