/**
 * The person at the set: asked at each cue of the script and wherever there is something to choose.
 */
import input from '@inquirer/input';
import select from '@inquirer/select';
import {
  choicesFor,
  isCoastStation,
  type Choice,
  type ChooseEvent,
  type Exchange,
} from '../../procedures/index.js';
import { RULES, describeChoice } from '../../procedures/texts/index.js';
import { type SimulationEvent, type ScenarioEvent, type ScenarioPlay } from '../../simulation/index.js';
import { SECOND_TELECOMMANDS } from '../../symbols/index.js';
import { parseWorkingChannel } from '../../frequencies/index.js';
import { utcClock } from '../utc.js';
import { composeEvent } from './compose.js';
import { valid } from './valid.js';
import type { View } from './view.js';

/** Milliseconds of the scenario's time after which a person who wanted to wait is asked again. */
const ASK_AGAIN_MS = 20_000;

/** The answer that leaves an exchange for now. */
const LATER = 'later';
/** The answer that opens a call of one's own. */
const COMPOSE = 'compose';

/** Asks a person for what their station does. */
export class HumanOperator {
  /** When to ask about an exchange again, by its id. */
  private readonly reminders = new Map<number, number>();

  constructor(
    private readonly play: ScenarioPlay,
    private readonly view: View,
  ) {}

  /** When the person is to be asked again, on the scenario's clock. */
  next(): number | undefined {
    return this.reminders.size === 0 ? undefined : Math.min(...this.reminders.values());
  }

  /** Asks about what an event offers, if it does, and gives what came of it. */
  async take(event: SimulationEvent): Promise<SimulationEvent[]> {
    if (event.station !== this.play.scenario.own) return [];
    if (event.type === 'cue') return this.cue(event.event);
    if (event.type !== 'action' || event.action.type !== 'offer') return [];
    return this.ask(event.action.exchange);
  }

  /** Asks again where the person wanted to wait. */
  async remind(): Promise<SimulationEvent[]> {
    const due = [...this.reminders].filter(([, at]) => at <= this.play.now);
    const happened: SimulationEvent[] = [];
    for (const [exchange] of due) {
      this.reminders.delete(exchange);
      happened.push(...(await this.ask(exchange)));
    }
    return happened;
  }

  private async cue(event: ScenarioEvent): Promise<SimulationEvent[]> {
    const answer = await select({
      message: `The script has you ${this.cueText(event)}`,
      choices: [
        { name: 'Do it', value: 'do' },
        { name: 'Send a call of your own instead', value: COMPOSE },
        { name: 'Leave it', value: LATER },
      ],
    });
    if (answer === COMPOSE) return this.compose();
    return answer === 'do' ? this.play.perform(event) : [];
  }

  private async compose(): Promise<SimulationEvent[]> {
    return this.play.act(this.play.scenario.own, await composeEvent(this.play));
  }

  private cueText(event: ScenarioEvent): string {
    switch (event.do) {
      case 'call':
        return `send: ${this.view.describe(event.call)}`;
      case 'distress':
        return `send a distress alert: ${event.nature}`;
      case 'choose':
        return `choose: ${event.choice}`;
      case 'say':
        return `say: “${event.text}”`;
      default:
        return event.do;
    }
  }

  private async ask(id: number): Promise<SimulationEvent[]> {
    const { own } = this.play.scenario;
    const state = this.play.state(own);
    const exchange = state.exchanges.find((each) => each.id === id);
    const choices = choicesFor(state, id);
    if (!exchange || choices.length === 0) return [];
    const choice = await select<Choice['choice'] | typeof LATER | typeof COMPOSE>({
      message: this.question(exchange),
      choices: [
        ...choices.map((each) => ({
          name: describeChoice(each),
          value: each.choice,
          description: `${RULES[each.rule].text} (${RULES[each.rule].source})`,
          disabled: this.notYet(each),
        })),
        { name: 'Send a call of your own', value: COMPOSE },
        { name: 'Wait', value: LATER, description: 'You are asked again in 20 seconds of the scenario.' },
      ],
    });
    if (choice === LATER || choice === COMPOSE) {
      this.reminders.set(id, this.play.now + ASK_AGAIN_MS);
      return choice === COMPOSE ? this.compose() : [];
    }
    const event = await this.details({ type: 'choose', exchange: id, choice });
    const needs = choices.find((each) => each.choice === choice)?.needs;
    return this.play.act(own, needs === undefined ? event : { ...event, ...(await this.confirmed(needs)) });
  }

  private notYet({ from, choice }: Choice): string | false {
    // A coast station's acknowledgement may be chosen early: it goes out when its time has come.
    if (choice === 'acknowledge' && from !== undefined && isCoastStation(this.play.scenario.own))
      return false;
    if (from === undefined) return '(not as things stand)';
    return from > this.play.now ? `(not before ${utcClock(from)})` : false;
  }

  private question(exchange: Exchange): string {
    switch (exchange.kind) {
      case 'incoming':
      case 'outgoing':
        return this.view.describe(exchange.call);
      case 'distress':
        return `Your distress alert (${exchange.phase})`;
      case 'alert':
        return `The distress of ${exchange.casualty === 'unknown' ? 'an unknown ship' : this.view.name(exchange.casualty)}`;
    }
  }

  private async details(event: ChooseEvent): Promise<ChooseEvent> {
    switch (event.choice) {
      case 'unable':
        return { ...event, reason: await this.reason() };
      case 'propose': {
        const channel = parseWorkingChannel(
          await input({
            message: 'Which channel instead?',
            validate: (text) => valid(() => parseWorkingChannel(text)),
          }),
        );
        return { ...event, message: { receive: channel, transmit: 'none' } };
      }
      case 'relay': {
        const coast = this.play.scenario.stations.filter(({ identity }) => isCoastStation(identity));
        const to = await select<ChooseEvent['to']>({
          message: 'To whom?',
          choices: [
            ...coast.map(({ identity, name }) => ({ name, value: { station: identity } })),
            { name: 'All ships', value: 'allShips' as const },
          ],
        });
        return { ...event, ...(to && { to }) };
      }
      default:
        return event;
    }
  }

  /** Asks whether the condition of a choice holds; after a No the rules refuse the choice, with the reason. */
  private async confirmed(needs: NonNullable<Choice['needs']>): Promise<Partial<ChooseEvent>> {
    const isConsulted = needs === 'consulted';
    const answer = await select({
      message: isConsulted
        ? 'Did you consult a coast station or rescue centre, or did one direct it?'
        : 'Can the casualty not alert by itself, and is further help necessary?',
      choices: [
        { name: 'Yes', value: true },
        { name: 'No', value: false },
      ],
    });
    return isConsulted ? { directed: answer } : { necessary: answer };
  }

  private reason(): Promise<NonNullable<ChooseEvent['reason']>> {
    return select({
      message: 'Why?',
      choices: SECOND_TELECOMMANDS.words.map(({ name, text }) => ({ name: text, value: name })),
    });
  }
}
