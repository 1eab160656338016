/** A stream of sentences with the own position: RMC, GGA, GLL (IEC 61162-1, from memory), cut anywhere. */
import { createOwnPosition, readNavigationSentence } from '../../../src/navigation/index.js';
import { Material } from '../material.js';
import { bytesOf, hold, orRefused, type Target } from '../target.js';
import { withChecksum } from './sentences.js';

const NOON = Date.UTC(2031, 4, 17, 12);

const GOOD = [
  'GPRMC,120000.00,A,5030.1234,N,00412.5000,W,5.0,90.0,170531,,,A',
  'GNRMC,235959,A,0000.0000,S,17959.9999,E,,,010180,1.0,E,D,V',
  'GPGGA,120001.00,5030.1234,N,00412.5000,W,1,08,1.0,10.0,M,50.0,M,,',
  'GPGLL,5030.1234,N,00412.5000,W,120002.00,A,A',
  'GPGLL,5030.1234,N,00412.5000,W,120002.00,V,N',
];

export const navigation: Target = {
  name: 'navigation',
  seeds: () => [...GOOD, GOOD.join('\n')].map((text) => Uint8Array.from([1, 7, ...bytesOf(text)])),
  words: [
    'GPRMC',
    'GPGGA',
    'GPGLL',
    ',A,',
    ',N,',
    ',W,',
    '\n',
    '\r\n',
    '$',
    '*',
    '9000.0000',
    '18000.000',
    '\\g:1*00\\',
  ],
  maxBytes: 1200,
  limitMs: (bytes) => 50 + bytes,
  limitMiB: 32,
  run(input) {
    const material = new Material(input);
    const isRepaired = material.byte() % 4 !== 0;
    const cut = 1 + material.byte();
    const given = material.text();
    const text = isRepaired ? given.split('\n').map(withChecksum).join('\r\n') + '\r\n' : given;
    const own = createOwnPosition({ clock: () => NOON });
    for (let at = 0; at < text.length; at += cut) own.push(text.slice(at, at + cut));
    const { position, time } = own.forCall();
    hold((position === 'none') === (time === 'none'), () => 'a position without its time');
    if (position !== 'none') {
      const { latitude, longitude } = position;
      hold(
        Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180,
        () => `a position off the globe: ${latitude}, ${longitude}`,
      );
      hold(/^([01]\d|2[0-3]):[0-5]\d$/.test(time), () => `the time ${time}`);
    }
    for (const line of text.split('\r\n')) orRefused(() => readNavigationSentence(line));
  },
};
