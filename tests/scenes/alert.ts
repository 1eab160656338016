/** One distress alert of an invented ship, for tests that need any. */
import type { DistressAlert } from '../../src/calls/index.js';

export const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
