/** A distress alert on six frequencies. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO } from './stations.js';

/** `six-frequencies`. Every station in it is invented. */
export const sixFrequencies: Scenario = {
  title: 'A distress alert on six frequencies, far from the coast',
  about:
    'A sinking ship far out sends one call on each of the six distress frequencies of MF and HF. Out of reach of MF, ' +
    'a coast station hears it on 8414.5 and 12577 kHz and acknowledges it.',
  seed: 16,
  start: '2031-05-19T13:40:00Z',
  durationSeconds: 240,
  own: '299000111',
  stations: [
    {
      ...GREY_PETREL,
      position: { latitude: 41.5, longitude: -31.2 },
      watch: [2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500],
    },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500] },
  ],
  paths: [
    { from: '299000111', to: '002990001', blocked: true },
    {
      from: '299000111',
      to: '002990001',
      frequencies: [8_414_500, 12_577_000],
      levelDb: -12,
      fading: 'mid-latitude-moderate',
    },
  ],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'distress',
      nature: 'sinking',
      followOn: 'j3e',
      frequencies: [2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500],
    },
  ],
};
