/**
 * A call that a virtual station makes to the own station, for practice in answering.
 */
import { bandOf, type Call, type Channel, type Identity } from 'dotphase';
import { outlineCall, suggestFrequencies } from 'dotphase/frequencies';
import { isCoastStation, type StationEvent } from 'dotphase/procedures';
import type { Station } from './book.js';

/** What a virtual station may call with. */
export type CalledKind =
  | 'testCall'
  | 'positionRequest'
  | 'routineCall'
  | 'safetyCall'
  | 'urgencyCall'
  | 'distressAlert'
  | 'distressRelay';

/** Who calls, with what, where. */
export interface CalledSettings {
  caller: Identity;
  kind: CalledKind;
  /** DSC frequency, hertz. */
  dscHz: number;
}

export const FIRST_CALLED: CalledSettings = { caller: '299456789', kind: 'testCall', dscHz: 156_525_000 };

/** Kinds that a station may call with: a coast station is in no distress, it relays that of others. */
export function calledKinds(caller: Identity): readonly CalledKind[] {
  const plain = ['testCall', 'positionRequest', 'routineCall', 'safetyCall', 'urgencyCall'] as const;
  return [...plain, isCoastStation(caller) ? 'distressRelay' : 'distressAlert'];
}

/** Where ships talk to each other (RR Appendices 17 and 18). */
const WORKING: Readonly<Record<'mf-hf' | 'vhf', Channel>> = {
  'mf-hf': { hz: 4_146_000 },
  vhf: { vhfChannel: 8 },
};

/** How to go on after a call: the caller proposes a channel, but to a coast station, which gives one itself (NAVCEN). */
function talkOf(dscHz: number, own: Identity) {
  const band = bandOf(dscHz);
  const channel = isCoastStation(own) ? 'none' : WORKING[band];
  return {
    telecommand1: band === 'vhf' ? 'f3e' : 'j3e',
    telecommand2: 'none',
    message: { receive: channel, transmit: channel },
  } as const;
}

/** What the virtual station does. */
export function calledEvent({ caller, kind, dscHz }: CalledSettings, own: Identity): StationEvent {
  const followOn = bandOf(dscHz) === 'vhf' ? 'f3e' : 'j3e';
  const nature = 'flooding';
  if (kind === 'distressAlert') return { type: 'distress', nature, followOn, frequencies: [dscHz] };
  const parties = { to: { station: own }, self: caller } as const;
  const call = ((): Call => {
    switch (kind) {
      case 'testCall':
      case 'positionRequest':
        return { kind, ...parties };
      case 'distressRelay': {
        const about = { casualty: 'unknown', position: 'none', time: 'none' } as const;
        return { kind, ...parties, ...about, nature, followOn };
      }
      default:
        return { kind, ...parties, ...talkOf(dscHz, own) };
    }
  })();
  return { type: 'call', call, frequencyHz: dscHz };
}

/** The DSC frequencies, hertz, on which a station of the address book may call with a kind: those for it first. */
export function calledFrequencies(station: Station, kind: CalledKind, own: Identity): readonly number[] {
  const settings = { caller: station.identity, kind, dscHz: FIRST_CALLED.dscHz };
  const event = calledEvent(settings, own);
  const outline =
    event.type === 'call'
      ? outlineCall(event.call)
      : outlineCall({
          kind: 'distressAlert',
          self: station.identity,
          nature: 'flooding',
          position: 'none',
          time: 'none',
          followOn: 'j3e',
        });
  const suited = suggestFrequencies(outline).map(({ frequency }) => frequency.hz);
  const watched = station.frequencies.filter((hz) => suited.includes(hz));
  return watched.length > 0 ? watched : station.frequencies;
}
