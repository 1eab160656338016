/**
 * A call that the person at the set puts together: kind, addressee, nature, frequencies, working channel.
 */
import input from '@inquirer/input';
import select from '@inquirer/select';
import { parseIdentity, type Address, type Call, type Channel } from '../../calls/index.js';
import {
  DISTRESS_FREQUENCIES,
  VHF_DSC_HZ,
  formatFrequency,
  bandOf,
  outlineCall,
  parseWorkingChannel,
  suggestFrequencies,
} from '../../frequencies/index.js';
import { isCoastStation, type StationEvent } from '../../procedures/index.js';
import type { ScenarioPlay } from '../../simulation/index.js';
import { NATURES, type NatureName } from '../../symbols/index.js';

import { valid } from './valid.js';

/** What may be sent of one's own accord. */
const KINDS = [
  ['distress', 'Distress alert'],
  ['urgencyCall', 'Urgency call'],
  ['safetyCall', 'Safety call'],
  ['routineCall', 'Routine call'],
  ['testCall', 'Test call'],
  ['positionRequest', 'Position request'],
  ['pollingRequest', 'Polling'],
  ['distressRelay', 'Distress relay for a ship that cannot alert by itself'],
] as const;

type Kind = (typeof KINDS)[number][0];
type SentKind = Exclude<Kind, 'distress'>;

/** Kinds that may go to many stations at once. */
const TO_MANY: readonly Kind[] = ['urgencyCall', 'safetyCall', 'routineCall', 'distressRelay'];

/** Degrees from the own position to each side of an area that is called. */
const AREA_REACH = 3;

const one = <Value>(message: string, choices: readonly (readonly [name: string, value: Value])[]) =>
  select<Value>({ message, choices: choices.map(([name, value]) => ({ name, value })) });

/** Asks for a call and gives it as an event of the person's station. */
export async function composeEvent(play: ScenarioPlay): Promise<StationEvent> {
  const kind = await one<Kind>(
    'What do you send?',
    KINDS.map(([value, name]) => [name, value]),
  );
  if (kind === 'distress') return composeAlert();
  const call = await composeCall(play, kind);
  const frequencyHz = await composeFrequency(play, call);
  return { type: 'call', call: await withChannel(call, frequencyHz), frequencyHz };
}

function askNature(): Promise<NatureName> {
  return one(
    'What is the nature of the distress?',
    NATURES.words.map(({ name, text }) => [text, name]),
  );
}

async function composeAlert(): Promise<StationEvent> {
  const nature = await askNature();
  const six = DISTRESS_FREQUENCIES.filter(({ band }) => band !== 'VHF').map(({ dscHz }) => dscHz);
  const frequencies = await one<readonly number[]>('On which frequency?', [
    ...DISTRESS_FREQUENCIES.map(({ dscHz }) => [formatFrequency(dscHz), [dscHz]] as const),
    ['All six of MF and HF', six],
    ['All six of MF and HF, and VHF channel 70', [VHF_DSC_HZ, ...six]],
  ]);
  const isVhf = frequencies.every((hz) => bandOf(hz) === 'vhf');
  return { type: 'distress', nature, followOn: isVhf ? 'f3e' : 'j3e', frequencies };
}

async function composeCall(play: ScenarioPlay, kind: SentKind): Promise<Call> {
  const { own } = play.scenario;
  const to = await composeAddress(play, kind);
  switch (kind) {
    case 'testCall':
    case 'positionRequest':
    case 'pollingRequest':
      return { kind, to: to as Extract<Address, { station: unknown }>, self: own };
    case 'distressRelay': {
      const casualty = await input({
        message: 'Which ship is in distress? (nine digits, or empty where not known)',
        validate: (text) => text === '' || valid(() => parseIdentity(text)),
      });
      const about = { nature: await askNature(), position: 'none', time: 'none', followOn: 'j3e' } as const;
      return {
        kind,
        to,
        self: own,
        casualty: casualty === '' ? 'unknown' : parseIdentity(casualty),
        ...about,
      };
    }
    default:
      return { kind, to, self: own, ...PLAIN_TALK } as Call;
  }
}

/** A call as it stands before its working channel is known. */
const PLAIN_TALK = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: 'none', transmit: 'none' },
} as const;

/** Asks for the working channel of a call that has room for one. */
async function withChannel(call: Call, frequencyHz: number): Promise<Call> {
  if (!('message' in call)) return call;
  const band = bandOf(frequencyHz);
  const telecommand1 = band === 'vhf' ? 'f3e' : 'j3e';
  return { ...call, telecommand1, message: { receive: await askChannel(band), transmit: 'none' } };
}

async function askChannel(band: 'mf-hf' | 'vhf'): Promise<Channel> {
  const text = await input({
    message: 'Which working frequency or channel do you propose? (empty for none)',
    validate: (given) => given === '' || valid(() => parseWorkingChannel(given, band)),
  });
  return text === '' ? 'none' : parseWorkingChannel(text, band);
}

function composeAddress(play: ScenarioPlay, kind: SentKind): Promise<Address> {
  const { own, stations } = play.scenario;
  const { position } = play.state(own);
  const others = stations.filter(({ identity }) => identity !== own);
  const groups = [...new Set(stations.flatMap(({ groups: of = [] }) => of))];
  const isMany = TO_MANY.includes(kind);
  const list: (readonly [string, Address])[] = others
    .toSorted((a, b) => Number(isCoastStation(b.identity)) - Number(isCoastStation(a.identity)))
    .map(({ identity, name }) => [name, { station: identity }]);
  if (isMany && kind === 'routineCall') {
    list.push(...groups.map((group) => [`The group ${group}`, { group }] as const));
  }
  if (isMany && kind !== 'routineCall') {
    list.push(['All ships', 'allShips']);
    if (position !== 'none') {
      const area = {
        latitude: Math.min(90, Math.ceil(position.latitude) + AREA_REACH),
        longitude: Math.max(-180, Math.floor(position.longitude) - AREA_REACH),
        south: 2 * AREA_REACH,
        east: 2 * AREA_REACH,
      };
      list.push([`The area of ${AREA_REACH}° around you`, { area }]);
    }
  }
  return one('To whom?', list);
}

/** Asks on which frequency: those that suit the call first, then all others that the stations watch. */
function composeFrequency({ scenario }: ScenarioPlay, call: Call): Promise<number> {
  const suited = suggestFrequencies(outlineCall(call)).map(({ frequency }) => frequency.hz);
  const watched = [...new Set(scenario.stations.flatMap(({ watch }) => watch))];
  const all = [
    ...suited.filter((hz) => watched.includes(hz)),
    ...watched.filter((hz) => !suited.includes(hz)),
  ];
  const rest = suited.filter((hz) => !watched.includes(hz));
  return one(
    'On which DSC frequency?',
    [...all, ...rest].map((hz) => [formatFrequency(hz), hz]),
  );
}
