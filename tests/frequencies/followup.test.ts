import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import type { Call, Channel } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import {
  answerFrequency,
  checkFrequency,
  followUp,
  followUpRequest,
  outlineCall,
  suggestFrequencies,
  type CallOutline,
  type FollowUpRequest,
} from '../../src/frequencies/index.js';

const SHIP = '299123456';
const OTHER_SHIP = '299000111';
const COAST = '002991234';
const GROUP = '029912345';

const DISTRESS = { nature: 'fire', position: 'none', time: 'none' } as const;
const ALERT: Call = { kind: 'distressAlert', self: SHIP, ...DISTRESS, followOn: 'j3e' };

function routine(self: string, to: string, receive: Channel, transmit: Channel = 'none'): Call {
  return {
    kind: 'routineCall',
    to: { station: to },
    self,
    telecommand1: 'j3e',
    telecommand2: 'none',
    message: { receive, transmit },
  };
}

const after = (call: Call, dscHz: number) => followUp(followUpRequest(call, dscHz));

describe('what follows a distress call', () => {
  // ITU-R M.541 Annex 4 (from memory): DSC, voice, NBDP in hertz.
  it.each([
    [2_187_500, 2_182_000, 2_174_500],
    [4_207_500, 4_125_000, 4_177_500],
    [6_312_000, 6_215_000, 6_268_000],
    [8_414_500, 8_291_000, 8_376_500],
    [12_577_000, 12_290_000, 12_520_000],
    [16_804_500, 16_420_000, 16_695_000],
  ])('is the partner of %s Hz', (dsc, voice, nbdp) => {
    const spoken = after(ALERT, dsc);
    expect(spoken).toMatchObject({ means: 'voice', emission: 'J3E', receiveHz: voice, transmitHz: voice });
    // The carrier is what the dial shows; direct printing lies 1.7 kHz above it (M.493 §1.3, from memory).
    expect(spoken.receiveDialHz).toBe(voice);
    expect(spoken.warnings).toEqual([]);
    const printed = after({ ...ALERT, followOn: 'fec' }, dsc);
    expect(printed).toMatchObject({ means: 'nbdp', receiveHz: nbdp, receiveDialHz: nbdp - 1700 });
  });

  it('is channel 16 on VHF', () => {
    const { text, receiveDialHz, warnings } = after({ ...ALERT, followOn: 'f3e' }, 156_525_000);
    expect(text).toBe('voice (F3E/G3E) on VHF channel 16 (156.800 MHz)');
    expect(receiveDialHz).toBeUndefined();
    expect(warnings).toEqual([]);
  });

  it('is told for every kind of distress call', () => {
    const calls: Call[] = [
      { kind: 'distressAcknowledgement', self: COAST, casualty: SHIP, ...DISTRESS, followOn: 'j3e' },
      { kind: 'ownAlertCancellation', self: SHIP, ...DISTRESS, followOn: 'j3e' },
      { kind: 'distressRelay', to: 'allShips', self: COAST, casualty: SHIP, ...DISTRESS, followOn: 'j3e' },
      {
        kind: 'relayAcknowledgement',
        to: { station: COAST },
        self: SHIP,
        casualty: 'unknown',
        ...DISTRESS,
        followOn: 'j3e',
      },
    ];
    for (const call of calls) expect(after(call, 8_414_500).text).toBe('voice (J3E) on 8291.0 kHz');
  });

  it('says what is odd', () => {
    expect(after({ ...ALERT, followOn: 'none' }, 2_187_500)).toMatchObject({
      receiveHz: 2_182_000,
      warnings: ['the call names no mode known here; telephony is assumed'],
    });
    expect(after({ ...ALERT, followOn: 'f3e' }, 2_187_500).warnings).toEqual([
      'F3E/G3E is not used on MF and HF',
    ]);
    expect(after({ ...ALERT, followOn: 'fec' }, 156_525_000)).toMatchObject({
      means: 'nbdp',
      warnings: [
        'direct printing is no longer required in the GMDSS (IMO MSC.496(105), in force 2024); its distress frequencies go to the automatic connection system',
        'F1B/J2B is not used on VHF',
        'this band has no distress and safety frequency for that',
      ],
    });
    expect(after(ALERT, 4_208_000)).toMatchObject({
      receiveHz: 4_125_000,
      warnings: ['4208.0 kHz is no distress and safety frequency for DSC'],
    });
    expect(after(ALERT, 18_898_500).receiveHz).toBeUndefined();
    expect(after({ ...ALERT, followOn: { unassigned: [77] } }, 2_187_500).receiveHz).toBe(2_182_000);
  });
});

describe('what follows other calls', () => {
  const urgency: Call = {
    kind: 'urgencyCall',
    to: 'allShips',
    self: SHIP,
    telecommand1: 'f3e',
    telecommand2: 'none',
    message: { receive: 'none', transmit: 'none' },
  };

  it('is the partner for urgency and safety that name no channel, else what they propose', () => {
    expect(after(urgency, 156_525_000).text).toBe('voice (F3E/G3E) on VHF channel 16 (156.800 MHz)');
    const message = { receive: { vhfChannel: 72 }, transmit: 'none' } as const;
    expect(after({ ...urgency, message }, 156_525_000).text).toBe(
      'voice (F3E/G3E) on VHF channel 72 (156.625 MHz)',
    );
  });

  it('is one frequency between ships', () => {
    expect(after(routine(SHIP, OTHER_SHIP, { hz: 4_146_000 }), 2_177_000)).toMatchObject({
      receiveHz: 4_146_000,
      transmitHz: 4_146_000,
      transmitDialHz: 4_146_000,
      text: 'voice (J3E) on 4146.0 kHz',
      warnings: [],
    });
  });

  // RR Appendix 17 (from memory): channel 1205 is 12242 kHz for ships and 13089 kHz for coast stations.
  it('is a channel seen from the called station', () => {
    expect(after(routine(COAST, SHIP, { channel: 1205 }), 12_657_000)).toMatchObject({
      receiveHz: 13_089_000,
      transmitHz: 12_242_000,
      text: 'voice (J3E) on channel 1205 (receive 13089.0 kHz, transmit 12242.0 kHz)',
    });
    expect(after(routine(SHIP, COAST, { channel: 1205 }, { channel: 1205 }), 12_577_500)).toMatchObject({
      receiveHz: 12_242_000,
      transmitHz: 13_089_000,
      warnings: [],
    });
  });

  // The message of an acknowledgement names the frequencies of its sender, who was called: the station it is
  // addressed to receives where that one transmits (M.493 §8.2.2, from memory).
  it('is turned round for the station that an acknowledgement is addressed to', () => {
    const call = routine(COAST, SHIP, { hz: 1_734_000 }, { hz: 2_078_000 });
    expect(after(call, 2_187_500)).toMatchObject({ receiveHz: 1_734_000, transmitHz: 2_078_000 });
    const message = { receive: { hz: 1_734_000 }, transmit: { hz: 2_078_000 } };
    for (const kind of [
      'urgencyAcknowledgement',
      'safetyAcknowledgement',
      'routineAcknowledgement',
    ] as const) {
      const acknowledgement: Call = {
        kind,
        to: { station: COAST },
        self: SHIP,
        telecommand1: 'j3e',
        telecommand2: 'none',
        message,
      };
      expect(after(acknowledgement, 2_187_500)).toMatchObject({
        receiveHz: 2_078_000,
        transmitHz: 1_734_000,
        text: 'voice (J3E) on receive 2078.0 kHz, transmit 1734.0 kHz',
      });
    }
    // Channel 1205: the coast station receives what ships transmit on, 12242 kHz (RR Appendix 17, from memory).
    const channel = { ...call, message: { receive: { channel: 1205 }, transmit: { channel: 1205 } } } as Call;
    const agreed = { ...channel, kind: 'routineAcknowledgement', to: { station: COAST }, self: SHIP } as Call;
    expect(after(agreed, 12_657_000)).toMatchObject({ receiveHz: 12_242_000, transmitHz: 13_089_000 });
  });

  // RR Appendix 18 (from memory): channel 24 is 157.200 MHz for ships and 161.800 MHz for coast stations.
  it('is a VHF channel with both or one of its sides', () => {
    const call = routine(COAST, SHIP, { vhfChannel: 24 }) as Extract<Call, { kind: 'routineCall' }>;
    const vhf = (receive: Channel) =>
      after({ ...call, telecommand1: 'f3e', message: { receive, transmit: 'none' } }, 156_525_000);
    expect(vhf({ vhfChannel: 24 })).toMatchObject({
      receiveHz: 161_800_000,
      transmitHz: 157_200_000,
      warnings: [],
    });
    expect(vhf({ vhfChannel: 24, simplex: 'ship' })).toMatchObject({
      receiveHz: 157_200_000,
      transmitHz: 157_200_000,
      text: 'voice (F3E/G3E) on VHF channel 1024 (157.200 MHz)',
    });
    expect(vhf({ vhfChannel: 70 }).warnings).toEqual([
      'VHF channel 70: digital selective calling only; no voice',
    ]);
  });

  it('does not trust odd proposals', () => {
    const proposals: [Channel, string][] = [
      [{ hz: 100 }, 'the call proposes 100 Hz, which lies in no maritime band'],
      [{ channel: 99 }, 'MF/HF channel 99 is not known here for voice'],
      [{ unassigned: [99, 99, 99] }, 'the call proposes a channel in a form not known here'],
    ];
    for (const [channel, warning] of proposals) {
      const result = after(routine(SHIP, COAST, channel), 2_189_500);
      expect(result.warnings).toEqual([warning]);
      expect(result.receiveHz).toBeUndefined();
      expect(result.text).toBe('voice (J3E); the call names no frequency');
    }
    expect(after(routine(SHIP, OTHER_SHIP, { channel: 1205 }), 2_177_000).warnings).toEqual([
      'a two-frequency channel works only between a ship and a coast station',
    ]);
    expect(after(routine(SHIP, COAST, { vhfChannel: 99 }), 2_189_500).warnings).toEqual([
      'J3E is not used on VHF',
      'VHF channel 99 is not known here',
    ]);
  });

  it('is nothing after tests, positions, polling and refusals', () => {
    const to = { station: COAST };
    const complete: Call[] = [
      { kind: 'testCall', to, self: SHIP },
      { kind: 'testAcknowledgement', to, self: SHIP },
      { kind: 'positionRequest', to, self: SHIP },
      { kind: 'pollingReply', to, self: SHIP },
      { ...(routine(SHIP, COAST, 'none') as Extract<Call, { kind: 'routineCall' }>), telecommand1: 'unable' },
    ];
    for (const call of complete) {
      expect(after(call, 2_187_500)).toMatchObject({ means: 'none', warnings: [] });
    }
  });

  it('never throws for what a call may carry', () => {
    const channel = fc.oneof(
      fc.constant('none' as const),
      fc.record({ hz: fc.integer({ min: 0, max: 99_999_990 }) }),
      fc.record({ channel: fc.integer({ min: 0, max: 99_999 }) }),
      fc.record({
        vhfChannel: fc.integer({ min: 0, max: 9999 }),
        simplex: fc.constantFrom('ship' as const, 'coast' as const),
      }),
      fc.record({ unassigned: fc.array(fc.integer({ min: 0, max: 127 })) }),
    );
    const request: fc.Arbitrary<FollowUpRequest> = fc.record({
      kind: fc.constantFrom('routineCall', 'urgencyCall', 'distressRelay', 'unheardOf'),
      category: fc.constantFrom(
        'routine' as const,
        'safety' as const,
        'urgency' as const,
        'distress' as const,
      ),
      fromCoastStation: fc.boolean(),
      toCoastStation: fc.boolean(),
      dscHz: fc.integer({ min: 400_000, max: 200_000_000 }),
      mode: fc.oneof(
        fc.constantFrom('j3e', 'f3e', 'f3eDuplex', 'fec', 'arq', 'data', 'none', 'unable'),
        fc.string(),
      ),
      receive: channel,
      transmit: channel,
    });
    fc.assert(
      fc.property(request, (given) => {
        const result = followUp(given);
        expect(result.receiveHz === undefined).toBe(result.transmitHz === undefined);
        expect(result.text).not.toMatch(/undefined|NaN/);
      }),
      { numRuns: 500 },
    );
  });

  it('refuses kilohertz and unassigned calls', () => {
    expect(() => after(ALERT, 2187.5)).toThrow(DotphaseError);
    expect(() => followUpRequest({ kind: 'unassignedCall', symbols: [99, 127] }, 2_187_500)).toThrow(
      DotphaseError,
    );
  });
});

describe('which frequency for which call', () => {
  const outline = (self: string, to: string) => outlineCall(routine(self, to, 'none'));
  const hertz = (call: CallOutline) => suggestFrequencies(call).map(({ frequency }) => frequency.hz);
  const VHF = 156_525_000;

  it('tells ships from coast stations', () => {
    expect(outline(SHIP, COAST)).toMatchObject({ fromCoastStation: false, toCoastStation: true });
    expect(outline(COAST, SHIP)).toMatchObject({ fromCoastStation: true, toCoastStation: false });
    expect(
      outlineCall({
        ...(routine(COAST, SHIP, 'none') as Extract<Call, { kind: 'routineCall' }>),
        to: { group: GROUP },
      }),
    ).toMatchObject({ fromCoastStation: true, toCoastStation: false });
  });

  // FCC80 §80.359; M541-8 Annex 2 §1.2.
  it('puts routine calls on the frequencies for their direction', () => {
    expect(hertz(outline(SHIP, OTHER_SHIP))).toEqual([VHF, 2_177_000]);
    expect(hertz(outline(SHIP, COAST)).slice(0, 11)).toEqual([
      VHF,
      2_189_500,
      458_500,
      // A ship calls preferably on a frequency of its own region (M541-8 Annex 2 §1.2), then on the worldwide one.
      4_208_500,
      4_209_000,
      4_208_000,
      6_313_000,
      6_313_500,
      6_312_500,
      8_415_500,
      8_416_000,
    ]);
    expect(hertz(outline(COAST, SHIP)).slice(0, 6)).toEqual([
      ...[VHF, 2_177_000, 455_500, 4_219_500, 4_220_000, 4_220_500],
    ]);
    expect(hertz(outline(COAST, COAST))).toEqual([]);
  });

  const SAFETY_HERTZ = [VHF, 2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500];

  it('puts distress, urgency, safety and tests on the distress and safety frequencies', () => {
    expect(hertz(outlineCall(ALERT))).toEqual(SAFETY_HERTZ);
    expect(hertz(outlineCall({ kind: 'testCall', to: { station: COAST }, self: SHIP }))).toEqual(
      SAFETY_HERTZ,
    );
    for (const category of ['urgency', 'safety'] as const) {
      expect(hertz({ kind: 'made up', category, fromCoastStation: true, toCoastStation: false })).toEqual(
        SAFETY_HERTZ,
      );
    }
    expect(suggestFrequencies(outlineCall(ALERT), '2 MHz').map(({ frequency }) => frequency.hz)).toEqual([
      2_187_500,
    ]);
  });

  it('warns when a call sits on the wrong frequency', () => {
    const onDistress = checkFrequency(outline(SHIP, OTHER_SHIP), 2_187_500);
    expect(onDistress?.text).toBe(
      '2187.5 kHz is for distress, urgency, safety and test calls, not for routine calls from ship to ship',
    );
    expect(onDistress?.instead.map(({ frequency }) => frequency.hz)).toEqual([2_177_000]);
    const direction = checkFrequency(outline(SHIP, COAST), 4_219_500);
    expect(direction?.instead[0].frequency.hz).toBe(4_208_500);
    const alert = checkFrequency(outlineCall(ALERT), 8_415_000);
    expect(alert?.instead.map(({ frequency }) => frequency.hz)).toEqual([8_414_500]);
    expect(checkFrequency(outlineCall(ALERT), 5_000_000)?.text).toBe(
      '5000.0 kHz is no DSC frequency known here',
    );
    expect(checkFrequency(outline(COAST, COAST), VHF)?.text).toMatch(/between coast stations/);
  });

  it('is silent where it suggests, and only there', () => {
    const calls = [outlineCall(ALERT), outline(SHIP, COAST), outline(COAST, SHIP), outline(SHIP, OTHER_SHIP)];
    for (const call of calls) {
      for (const hz of hertz(call)) expect(checkFrequency(call, hz)).toBeUndefined();
      for (const hz of calls.flatMap(hertz).filter((each) => !hertz(call).includes(each))) {
        expect(checkFrequency(call, hz)).toBeDefined();
      }
    }
  });

  it('answers on the paired frequency between ship and coast, else on the same', () => {
    expect(answerFrequency(outline(SHIP, COAST), 2_189_500)).toBe(2_177_000);
    expect(answerFrequency(outline(COAST, SHIP), 2_177_000)).toBe(2_189_500);
    expect(answerFrequency(outline(SHIP, OTHER_SHIP), 2_177_000)).toBe(2_177_000);
    expect(answerFrequency(outline(SHIP, COAST), VHF)).toBe(VHF);
    expect(answerFrequency(outlineCall(ALERT), 2_187_500)).toBe(2_187_500);
  });
});
