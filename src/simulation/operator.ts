/**
 * The operator of a virtual station: what it does about what its radio shows, by its behaviour and abilities.
 */
import { unitInterval } from '../dsp/index.js';
import { followUpOf } from '../frequencies/index.js';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import {
  COAST_LIMIT_MS,
  isCoastStation,
  type Choice,
  type ChoiceName,
  type ChooseEvent,
  type Exchange,
  type StationAction,
  type StationState,
} from '../procedures/index.js';
import { ABILITIES, type Ability, type Behaviour, type ScenarioStation } from './scenario.js';
import { spoken, type Naming } from './phrases.js';

/** Something that an operator will do after a while, unless it is no longer possible then. */
export type Reaction = { readonly afterMs: number } & (
  | { readonly type: 'choose'; readonly event: ChooseEvent }
  | {
      readonly type: 'say';
      readonly text: string;
      readonly frequencyHz: number | undefined;
      /** Asked when the time has come: whether it has become pointless. */
      readonly isMoot: (state: StationState) => boolean;
    }
);

/** What an operator needs to know apart from its own station. */
export interface OperatorSurroundings {
  readonly name: Naming;
  /** Whether there is a coast station that it could relay an alert to. */
  readonly canRelay: boolean;
  readonly seed: number;
}

const DEFAULT_REACTION: readonly [number, number] = [4, 8];
const DEFAULT_LATE = 75;
const DEFAULT_ATTEMPTS = 2;

/**
 * A ship that hears no acknowledgement from a coast station acknowledges an alert by voice after this: coast stations
 * have until then (M.541 §3.3.2 and §3.3.4, from memory).
 */
const VOICE_WITHOUT_COAST_MS = COAST_LIMIT_MS;

/** The second of two answers comes so long after the first, milliseconds. */
const SECOND_ANSWER_MS = 3000;

/** An operator. */
export interface Operator {
  behaviour: Behaviour;
  /** What it will do about an action of its station. */
  react(action: StationAction, state: StationState): Reaction[];
}

/** An operator for a station. */
export function createOperator(station: ScenarioStation, surroundings: OperatorSurroundings): Operator {
  const generator = xoroshiro128plus(surroundings.seed);
  const [shortest, longest] = station.reactionSeconds ?? DEFAULT_REACTION;
  const abilities = new Set<Ability>(station.abilities ?? ABILITIES);
  const { identity } = station;
  const coast = isCoastStation(identity);
  /** What was decided already, so that an offer that comes again changes nothing. */
  const decided = new Set<string>();

  const reactionMs = () => {
    const unit = unitInterval(generator.next());
    return Math.round((shortest + unit * (longest - shortest)) * 1000);
  };

  const operator: Operator = {
    behaviour: station.behaviour ?? 'answers',
    react(action, state) {
      if (operator.behaviour === 'silent' || operator.behaviour === 'outOfRange') return [];
      const exchange =
        'exchange' in action ? state.exchanges.find(({ id }) => id === action.exchange) : undefined;
      switch (action.type) {
        case 'offer':
          return exchange ? decide(exchange, action.choices, state.now) : [];
        case 'phase':
          return exchange?.kind === 'incoming' && action.to === 'answered' ? answerAgain(exchange) : [];
        case 'watch':
          return abilities.has('voice') ? speak(action, exchange) : [];
        default:
          return [];
      }
    },
  };

  function once(exchange: Exchange, choice: ChoiceName): boolean {
    const openings = exchange.kind === 'alert' ? exchange.openings : 1;
    const key = `${exchange.id} ${openings} ${choice}`;
    if (decided.has(key)) return false;
    decided.add(key);
    return true;
  }

  function lateMs(): number {
    return operator.behaviour === 'answersLate' ? (station.lateSeconds ?? DEFAULT_LATE) * 1000 : 0;
  }

  function choosing(
    exchange: Exchange,
    choice: ChoiceName,
    more: Partial<ChooseEvent> = {},
    afterMs = reactionMs() + lateMs(),
  ): Reaction[] {
    return [{ afterMs, type: 'choose', event: { type: 'choose', exchange: exchange.id, choice, ...more } }];
  }

  function answer(exchange: Exchange, open: (choice: ChoiceName) => Choice | undefined): Reaction[] {
    const { elsewhere = {}, reason = 'busy' } = station;
    if (operator.behaviour === 'refusesBusy') {
      return open('unable') ? choosing(exchange, 'unable', { reason }) : [];
    }
    if (operator.behaviour !== 'answersElsewhere') return choosing(exchange, 'able');
    const { frequencyHz, message } = elsewhere;
    const where = frequencyHz === undefined ? {} : { frequencyHz };
    return message !== undefined && open('propose')
      ? choosing(exchange, 'propose', { message, ...where })
      : choosing(exchange, 'able', where);
  }

  function decide(exchange: Exchange, choices: readonly Choice[], now: number): Reaction[] {
    const open = (choice: ChoiceName) => choices.find((each) => each.choice === choice);
    const isReady = (choice: Choice | undefined) => choice?.from !== undefined && choice.from <= now;
    switch (exchange.kind) {
      case 'incoming':
        return exchange.phase === 'open' && abilities.has('calls') ? answer(exchange, open) : [];
      case 'outgoing': {
        const resend = open('resend');
        const left = (station.attempts ?? DEFAULT_ATTEMPTS) - exchange.attempts;
        if (exchange.phase !== 'unanswered' || resend?.from === undefined || resend.needs || left <= 0)
          return [];
        return choosing(exchange, 'resend', {}, Math.max(0, resend.from - now) + reactionMs());
      }
      case 'alert': {
        if (coast && abilities.has('distress')) {
          const choice = open('acknowledge') ? 'acknowledge' : 'acknowledgeRelay';
          return open(choice) ? choosing(exchange, choice) : [];
        }
        const relay = open('relay');
        const relays = !coast && abilities.has('relays') && isReady(relay) && relay?.needs === undefined;
        return relays && surroundings.canRelay && once(exchange, 'relay') ? choosing(exchange, 'relay') : [];
      }
      case 'distress':
        return [];
    }
  }

  function answerAgain(exchange: Exchange): Reaction[] {
    if (operator.behaviour !== 'answersTwice' || !once(exchange, 'again')) return [];
    return choosing(exchange, 'again', {}, SECOND_ANSWER_MS);
  }

  /** What is said about an exchange is said once: after the coast station's acknowledgement, or long without one. */
  function speak(
    action: Extract<StationAction, { type: 'watch' }>,
    exchange: Exchange | undefined,
  ): Reaction[] {
    const { means, transmitHz } = followUpOf(action.call, action.frequencyHz, action.side);
    if (means !== 'voice') return [];
    const text = spoken(action, exchange, identity, station.reply, surroundings.name);
    if (text === undefined) return [];
    const key = exchange === undefined ? undefined : `${exchange.id} ${text}`;
    const isAlert = exchange?.kind === 'alert' && action.call.kind === 'distressAlert';
    const isMoot = (state: StationState) => {
      if (key === undefined) return false;
      if (decided.has(key)) return true;
      const now = state.exchanges.find(({ id }) => id === exchange?.id);
      const isOver = now?.kind === 'alert' && (now.phase === 'cancelled' || now.phase === 'closed');
      if (!isOver) decided.add(key);
      return isOver;
    };
    const afterMs = reactionMs() + (isAlert ? VOICE_WITHOUT_COAST_MS : 0) + lateMs();
    return [{ afterMs, type: 'say', text, frequencyHz: transmitHz, isMoot }];
  }

  return operator;
}
