/**
 * Whom an alert may be relayed to: who stands in the address book, all ships or the area around the casualty.
 */
import { formatIdentity, type Address } from 'dotphase';
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
  readonly to: Address;
}

/** Many at once: all ships on VHF, on MF and HF the area around the casualty where that is known (M.493 §8.4, from memory). */
function many(exchange: AlertExchange): Addressee {
  const { alert, relay, heard } = exchange;
  const hz = heard.at(0)?.frequencyHz ?? relay?.frequencyHz;
  const reach = hz === undefined ? 'VHF' : reachOf(hz);
  const position = (alert ?? relay?.call)?.position;
  if (reach === 'VHF' || typeof position !== 'object' || !('latitude' in position)) {
    return { text: 'all ships', to: 'allShips' };
  }
  const area = areaAround(position, RELAY_RADIUS_DEGREES[reach]);
  return { text: `the area around the casualty, ${area.south}° by ${area.east}°`, to: { area } };
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
  return isCoastStation(identity) ? [many(exchange), ...named(false)] : [...named(true), many(exchange)];
}
