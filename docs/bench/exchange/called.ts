/**
 * A call that a virtual station makes to the own station, for practice in answering.
 */
import { bandOf, type Address, type Call, type Channel, type Identity } from 'dotphase';
import { DISTRESS_FREQUENCIES, outlineCall, suggestFrequencies } from 'dotphase/frequencies';
import {
  RELAY_RADIUS_DEGREES,
  areaAround,
  isCoastStation,
  reachOf,
  type StationEvent,
} from 'dotphase/procedures';
import type { Station } from './book.js';
import { OWN_POSITION } from './sea.js';

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
  /** Whether an urgency or safety call is for the own station alone or for all around. */
  audience: 'own' | 'many';
  /** DSC frequency, hertz. */
  dscHz: number;
}

export const FIRST_CALLED: CalledSettings = {
  caller: '299456789',
  kind: 'testCall',
  audience: 'own',
  dscHz: 156_525_000,
};

/** Whether a kind may go to many stations at once. */
export function isForMany(kind: CalledKind): boolean {
  return kind === 'urgencyCall' || kind === 'safetyCall';
}

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

/** Who hears an announcement: all ships on VHF, on MF and HF the area around the own station (M.493 §8.4, from memory). */
function announcedTo(dscHz: number): Address {
  const reach = reachOf(dscHz);
  return reach === 'VHF' ? 'allShips' : { area: areaAround(OWN_POSITION, RELAY_RADIUS_DEGREES[reach]) };
}

/** Where an announced message is spoken: on the voice frequency of the DSC frequency (RR Appendix 15, from memory). */
function spokenOn(dscHz: number): Channel {
  if (bandOf(dscHz) === 'vhf') return { vhfChannel: 16 };
  const row = DISTRESS_FREQUENCIES.find((each) => each.dscHz === dscHz);
  return row ? { hz: row.voiceHz } : WORKING['mf-hf'];
}

/** What the virtual station does. */
export function calledEvent({ caller, kind, audience, dscHz }: CalledSettings, own: Identity): StationEvent {
  const followOn = bandOf(dscHz) === 'vhf' ? 'f3e' : 'j3e';
  const nature = 'flooding';
  if (kind === 'distressAlert') return { type: 'distress', nature, followOn, frequencies: [dscHz] };
  if (audience === 'many' && (kind === 'urgencyCall' || kind === 'safetyCall')) {
    const place = spokenOn(dscHz);
    const message = { receive: place, transmit: place };
    const call: Call = {
      kind,
      to: announcedTo(dscHz),
      self: caller,
      telecommand1: followOn,
      telecommand2: 'none',
      message,
    };
    return { type: 'call', call, frequencyHz: dscHz };
  }
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
export function calledFrequencies(
  station: Station,
  { kind, audience }: Pick<CalledSettings, 'kind' | 'audience'>,
  own: Identity,
): readonly number[] {
  const settings = { caller: station.identity, kind, audience, dscHz: FIRST_CALLED.dscHz };
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
