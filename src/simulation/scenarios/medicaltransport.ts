/** A medical transport announces itself. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, SEA_HOLLY } from './stations.js';

/** `medical-transport`. Every station in it is invented. */
export const medicalTransport: Scenario = {
  title: 'A medical transport announces itself',
  about:
    'A hospital ship announces by an urgency call to an area that it is a medical transport, and speaks its ' +
    'particulars on 2182 kHz. Nobody acknowledges the call by DSC.',
  seed: 19,
  start: '2031-05-20T10:00:00Z',
  durationSeconds: 90,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [2_187_500] },
    { ...SEA_HOLLY, watch: [2_187_500], reply: 'Medical transport received. Out.' },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500], reply: 'Medical transport received and passed on. Out.' },
  ],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: {
        kind: 'urgencyCall',
        to: { area: { latitude: 50, longitude: -17, south: 5, east: 7 } },
        self: '299000111',
        telecommand1: 'j3e',
        telecommand2: 'medical',
        message: { receive: { hz: 2_182_000 }, transmit: 'none' },
      },
      frequencyHz: 2_187_500,
    },
    {
      at: 27,
      station: '299000111',
      do: 'say',
      text: 'Medical transport Grey Petrel, bound north at eight knots with forty wounded on board. Out.',
      frequencyHz: 2_182_000,
    },
  ],
};
