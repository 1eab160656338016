import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import {
  assignedFrequency,
  dialFrequency,
  DISTRESS_FREQUENCIES,
  DSC_FREQUENCIES,
  dscFrequencyAt,
  formatFrequency,
  maritimeBand,
  parseFrequency,
  SHIP_TO_SHIP_FREQUENCIES,
  TELEPHONY_CHANNELS,
  telephonyChannel,
  VHF_CHANNELS,
  vhfChannel,
  vhfChannelsAt,
} from '../../src/frequencies/index.js';
import { DotphaseError } from '../../src/errors.js';

const kHz = (value: number) => Math.round(value * 1000);
const MHz = (value: number) => Math.round(value * 1e6);

describe('distress and safety frequencies', () => {
  // FCC80 §80.1077: DSC, radiotelephony, NBDP in kHz.
  it.each([
    [2187.5, 2182, 2174.5],
    [4207.5, 4125, 4177.5],
    [6312, 6215, 6268],
    [8414.5, 8291, 8376.5],
    [12577, 12290, 12520],
    [16804.5, 16420, 16695],
  ])('%s kHz leads to %s on voice and %s by direct printing', (dsc, voice, nbdp) => {
    const row = DISTRESS_FREQUENCIES.find((candidate) => candidate.dscHz === kHz(dsc));
    expect([row?.voiceHz, row?.nbdpHz]).toEqual([kHz(voice), kHz(nbdp)]);
  });

  it('leads from channel 70 to channel 16', () => {
    const row = DISTRESS_FREQUENCIES.find(({ band }) => band === 'VHF');
    expect(row?.dscHz).toBe(vhfChannel(70).shipHz);
    expect(row?.voiceHz).toBe(vhfChannel(16).shipHz);
    expect(row?.nbdpHz).toBeUndefined();
  });
});

describe('DSC frequencies', () => {
  // FCC80 §80.359: ship, coast in kHz, the first pair of each band.
  it.each([
    ['4 MHz', 4208, 4219.5],
    ['6 MHz', 6312.5, 6331],
    ['8 MHz', 8415, 8436.5],
    ['12 MHz', 12577.5, 12657],
    ['16 MHz', 16805, 16903],
    ['18/19 MHz', 18898.5, 19703.5],
    ['22 MHz', 22374.5, 22444],
    ['25/26 MHz', 25208.5, 26121],
  ])(
    '%s: ships on %s, coast stations on %s, two regional pairs behind (FCC80 §80.359)',
    (band, ship, coast) => {
      for (const [step, scope] of [
        [0, 'worldwide'],
        [0.5, 'regional'],
        [1, 'regional'],
      ] as const) {
        const shipHz = kHz(ship + step);
        const coastHz = kHz(coast + step);
        expect(dscFrequencyAt(shipHz)).toMatchObject({ band, uses: ['shipToCoast'], pairHz: coastHz, scope });
        expect(dscFrequencyAt(coastHz)).toMatchObject({ band, uses: ['coastToShip'], pairHz: shipHz, scope });
      }
      expect(dscFrequencyAt(kHz(ship + 1.5))).toBeUndefined();
      expect(dscFrequencyAt(kHz(coast + 1.5))).toBeUndefined();
    },
  );

  it('keeps 2177 kHz for calls to ships and 2189.5 kHz for calls to coast stations', () => {
    expect(dscFrequencyAt(2_177_000)?.uses).toEqual(['shipToShip', 'coastToShip']);
    expect(dscFrequencyAt(2_189_500)?.uses).toEqual(['shipToCoast']);
  });

  it('holds whole hertz in the right band, each frequency once, each pair both ways', () => {
    const seen = new Set<number>();
    for (const row of DSC_FREQUENCIES) {
      expect(Number.isInteger(row.hz)).toBe(true);
      expect(maritimeBand(row.hz), String(row.hz)).toBe(row.band);
      expect(seen.has(row.hz)).toBe(false);
      seen.add(row.hz);
      if (row.pairHz !== undefined) expect(dscFrequencyAt(row.pairHz)?.pairHz).toBe(row.hz);
      expect(row.source).toMatch(/FCC80/);
    }
  });

  it('finds the nearest within a distance', () => {
    expect(dscFrequencyAt(2_187_510)).toBeUndefined();
    expect(dscFrequencyAt(2_187_510, 20)?.hz).toBe(2_187_500);
    expect(dscFrequencyAt(4_208_300, 250)?.hz).toBe(4_208_500);
    expect(() => dscFrequencyAt(2_187_500, 300)).toThrow(DotphaseError);
    expect(() => dscFrequencyAt(2187.5)).toThrow(/whole number of hertz/);
  });
});

describe('MF and HF radiotelephony', () => {
  // RR Appendix 17 Part B Section I (from memory): the calling channels, ship and coast carriers in kHz.
  it.each([
    [421, 4125, 4417],
    [606, 6215, 6516],
    [821, 8255, 8779],
    [1221, 12290, 13137],
    [1621, 16420, 17302],
    [1806, 18795, 19770],
    [2221, 22060, 22756],
    [2510, 25097, 26172],
  ])('channel %s: ships on %s, coast stations on %s', (channel, ship, coast) => {
    expect(telephonyChannel(channel)).toMatchObject({ channel, shipHz: kHz(ship), coastHz: kHz(coast) });
  });

  it('fills each band up to the simplex frequencies', () => {
    // Simplex telephony begins 3 kHz above the last ship channel (RR Appendix 17, from memory), kHz.
    for (const [last, simplex] of [
      [427, 4146],
      [608, 6224],
      [1241, 12353],
      [1656, 16528],
      [1815, 18825],
      [2253, 22159],
      [2510, 25100],
    ] as const) {
      expect(telephonyChannel(last).shipHz + 3000).toBe(kHz(simplex));
      expect(SHIP_TO_SHIP_FREQUENCIES.some(({ hz }) => hz === kHz(simplex))).toBe(true);
    }
    // The 8 MHz distress carrier 8291 stands between.
    expect(telephonyChannel(832).shipHz + 3000).toBe(8_291_000);
  });

  // AP17 (Radio Regulations Appendix 17, Rev. WRC-07): all 40 carriers, kHz.
  it('knows the ship-to-ship frequencies', () => {
    expect(SHIP_TO_SHIP_FREQUENCIES.map(({ hz }) => hz / 1000)).toEqual([
      4146, 4149, 6224, 6227, 6230, 8294, 8297, 12353, 12356, 12359, 12362, 12365, 16528, 16531, 16534, 16537,
      16540, 16543, 16546, 18825, 18828, 18831, 18834, 18837, 18840, 18843, 22159, 22162, 22165, 22168, 22171,
      22174, 22177, 25100, 25103, 25106, 25109, 25112, 25115, 25118,
    ]);
  });

  // RR Appendix 17 (from memory): channels beside the rows, at the lower edges of the bands.
  it.each([
    [428, 4060, 4351],
    [429, 4063, 4354],
    [834, 8107, 8707],
    [837, 8116, 8716],
  ])('has channel %s: ships on %s, coast stations on %s', (channel, ship, coast) => {
    expect(telephonyChannel(channel)).toMatchObject({
      shipHz: kHz(ship),
      coastHz: kHz(coast),
      certainty: 'likely',
    });
  });

  it('lies in the right band, each number once', () => {
    for (const row of TELEPHONY_CHANNELS) {
      expect(maritimeBand(row.shipHz)).toBe(row.band);
      expect(maritimeBand(row.coastHz)).toBe(row.band);
      expect(telephonyChannel(row.channel)).toBe(row);
    }
    for (const { band, hz } of SHIP_TO_SHIP_FREQUENCIES) expect(maritimeBand(hz)).toBe(band);
  });

  it.each([0, 400, 430, 609, 833, 838, 1242, 1657, 2511, 1.5, NaN])('refuses channel %s', (channel) => {
    expect(() => telephonyChannel(channel)).toThrow(DotphaseError);
  });
});

describe('VHF channels', () => {
  // RR Appendix 18 (from memory), MHz.
  it.each([
    [1, 156.05, 160.65],
    [6, 156.3, 156.3],
    [8, 156.4, 156.4],
    [13, 156.65, 156.65],
    [16, 156.8, 156.8],
    [24, 157.2, 161.8],
    [28, 157.4, 162],
    [60, 156.025, 160.625],
    [67, 156.375, 156.375],
    [70, 156.525, 156.525],
    [72, 156.625, 156.625],
    [77, 156.875, 156.875],
    [86, 157.325, 161.925],
    [87, 157.375, 157.375],
    [88, 157.425, 157.425],
    [1019, 156.95, 156.95],
    [2019, 161.55, 161.55],
    [2027, 161.95, 161.95],
    [2087, 161.975, 161.975],
    [2088, 162.025, 162.025],
  ])('channel %s: ships on %s MHz, coast stations on %s MHz', (channel, ship, coast) => {
    const row = vhfChannel(channel);
    expect([row.shipHz, row.coastHz]).toEqual([MHz(ship), MHz(coast)]);
    expect(row.duplex).toBe(ship !== coast);
  });

  it('stands 25 kHz apart from 156.025 to 157.425 MHz without gaps on the ship side', () => {
    const ships = VHF_CHANNELS.filter(({ channel }) => channel < 100).map(({ shipHz }) => shipHz);
    expect([...ships].sort((a, b) => a - b)).toEqual(
      Array.from({ length: 57 }, (_, i) => 156_025_000 + i * 25_000),
    );
  });

  it('lists numbers in order', () => {
    const numbers = VHF_CHANNELS.map(({ channel }) => channel);
    expect([...numbers].sort((a, b) => a - b)).toEqual(numbers);
    expect(new Set(numbers).size).toBe(numbers.length);
  });

  it('finds channels by frequency', () => {
    expect(vhfChannelsAt(156_525_000).map(({ channel }) => channel)).toEqual([70]);
    expect(vhfChannelsAt(161_550_000).map(({ channel }) => channel)).toEqual([19, 2019]);
    expect(vhfChannelsAt(156_000_000)).toEqual([]);
  });

  it.each([0, 29, 59, 89, 1006, 2016, 1087, 3001, -1, 16.5])('refuses channel %s', (channel) => {
    expect(() => vhfChannel(channel)).toThrow(DotphaseError);
  });
});

describe('dial', () => {
  // ITU-R M.493 Annex 1 §1.3 (from memory): the carrier lies 1.7 kHz under the assigned frequency.
  it('shows 2185.8 kHz for 2187.5 kHz and back', () => {
    expect(dialFrequency(2_187_500)).toBe(2_185_800);
    expect(assignedFrequency(2_185_800)).toBe(2_187_500);
  });

  it('refuses kilohertz', () => {
    expect(() => dialFrequency(2187.5)).toThrow(DotphaseError);
    expect(() => assignedFrequency(0)).toThrow(DotphaseError);
    expect(() => dialFrequency(400_000)).toThrow(/dial frequency/);
  });
});

describe('frequencies in words', () => {
  it.each([
    [2_187_500, '2187.5 kHz'],
    [6_312_000, '6312.0 kHz'],
    [8_294_050, '8294.05 kHz'],
    [156_525_000, '156.525 MHz'],
    [156_800_000, '156.800 MHz'],
    [156_812_500, '156.8125 MHz'],
  ])('%s Hz is %s', (hz, text) => {
    expect(formatFrequency(hz)).toBe(text);
  });

  it.each([
    ['2187.5', 2_187_500],
    ['2187.5kHz', 2_187_500],
    [' 2.1875 mhz ', 2_187_500],
    ['2187500 Hz', 2_187_500],
    ['156.525 MHz', 156_525_000],
    ['156.525', 156_525_000],
    ['2187,5', 2_187_500],
    ['ch 70', 156_525_000],
  ])('reads %j', (text, hz) => {
    expect(parseFrequency(text)).toBe(hz);
  });

  it.each(['', '1e7 Hz', '-2187.5', '2187.5 GHz', '2187.50005', '999999999 MHz', 'ch 99'])(
    'refuses %j',
    (text) => {
      expect(() => parseFrequency(text)).toThrow(DotphaseError);
    },
  );

  it('reads what it writes', () => {
    fc.assert(
      fc.property(fc.integer({ min: 400_000, max: 200_000_000 }), (hz) => {
        expect(parseFrequency(formatFrequency(hz))).toBe(hz);
      }),
    );
  });
});
