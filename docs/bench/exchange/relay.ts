/**
 * Whom an alert may be relayed to: who stands in the address book, all ships, the area around the casualty or another.
 */
import { formatIdentity, type Address, type Area } from 'dotphase';
import {
  RELAY_RADIUS_DEGREES,
  areaAround,
  isCoastStation,
  reachOf,
  type AlertExchange,
  type Choice,
  type StationState,
} from 'dotphase/procedures';
import type { Station } from './book.js';

/** An addressee to choose. */
export interface Addressee {
  readonly text: string;
  /** None where it is an area that the person types. */
  readonly to?: Address;
}

function reachFor({ heard, relay }: AlertExchange) {
  const hz = heard.at(0)?.frequencyHz ?? relay?.frequencyHz;
  return hz === undefined ? 'VHF' : reachOf(hz);
}

/** The area around the casualty on MF and HF (M.493 §8.4, from memory); undefined on VHF and where its position is not known. */
export function areaOfCasualty(exchange: AlertExchange): Area | undefined {
  const reach = reachFor(exchange);
  const position = (exchange.alert ?? exchange.relay?.call)?.position;
  if (reach === 'VHF' || typeof position !== 'object' || !('latitude' in position)) return undefined;
  return areaAround(position, RELAY_RADIUS_DEGREES[reach]);
}

/** Many at once: all ships, and on MF and HF the area around the casualty or any other. */
function many(exchange: AlertExchange): readonly Addressee[] {
  const area = areaOfCasualty(exchange);
  const usual: Addressee = area
    ? { text: `the area around the casualty, ${area.south}° by ${area.east}°`, to: { area } }
    : { text: 'all ships', to: 'allShips' };
  return reachFor(exchange) === 'VHF' ? [usual] : [usual, { text: 'another area…' }];
}

/**
 * The addressees that the rules allow, the usual one first.
 *
 * @param choice - the choice to relay
 * @param stations - the address book
 */
export function addresseesOf(
  { identity }: Pick<StationState, 'identity'>,
  exchange: AlertExchange,
  choice: Choice,
  stations: readonly Station[],
): readonly Addressee[] {
  const others = stations.filter((each) => each.identity !== identity && each.identity !== exchange.casualty);
  const named = (isCoast: boolean) =>
    others
      .filter((each) => isCoastStation(each.identity) === isCoast)
      .map((each): Addressee => ({
        text: `${each.name} (${formatIdentity(each.identity)})`,
        to: { station: each.identity },
      }));
  if (choice.to === 'coastStation') return named(true);
  return isCoastStation(identity)
    ? [...many(exchange), ...named(false)]
    : [...named(true), ...many(exchange)];
}
