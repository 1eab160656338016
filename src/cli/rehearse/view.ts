/**
 * What happens in a scenario, as lines for people.
 */
import {
  describeCall,
  describeIdentity,
  formatIdentity,
  type DecodedCall,
  type Identity,
} from '../../calls/index.js';
import { followUpOf, formatFrequency } from '../../frequencies/index.js';
import type { RuleName } from '../../procedures/index.js';
import { RULES, describeNotice, describeRefusal } from '../../procedures/texts/index.js';
import { type SimulationEvent, type Scenario } from '../../simulation/index.js';
import { columnsOf, pad, wrap, type Screen } from '../terminal.js';
import { kebab } from '../words.js';
import { utcClock } from '../utc.js';

/** How much is shown. */
export interface ViewOptions {
  /** Phases, what other stations were told and what could not be read, and the rule of everything. */
  readonly verbose: boolean;
}

/** Columns of the frequency behind the time. */
const FREQUENCY_COLUMNS = 12;

const QUALITY_COLOUR = { clean: 'green', recovered: 'cyan', doubtful: 'red' } as const;

/** A call that a station reads again within this was sent several times in a row, milliseconds. */
const IN_A_ROW_MS = 45_000;

/** Shows a scenario as it happens. */
export class View {
  /** When each station last read each call. */
  private readonly read = new Map<string, number>();
  private readonly names: ReadonlyMap<Identity, string>;

  constructor(
    private readonly scenario: Scenario,
    private readonly screen: Screen,
    private readonly options: ViewOptions,
  ) {
    this.names = new Map(scenario.stations.map(({ identity, name }) => [identity, name]));
  }

  /** What the scenario is about and who takes part. */
  heading(): string[] {
    const { colours, width } = this.screen;
    const { title, about, own, stations, start } = this.scenario;
    const longest = Math.max(...stations.map(({ name }) => columnsOf(name)));
    return [
      colours.bold(title),
      ...(about === undefined ? [] : wrap(about, width)),
      '',
      ...stations.map(({ identity, name }) => {
        const part = identity === own ? ' (your station)' : '';
        return `  ${pad(name, longest)}  ${describeIdentity(identity)}${part}`;
      }),
      '',
      colours.dim(`Times are UTC, from ${start.slice(0, 10)} on. Every call goes out and comes in as audio.`),
      '',
    ];
  }

  /** The lines of an event; none where it is not shown. */
  lines(event: SimulationEvent): string[] {
    const { verbose } = this.options;
    const isOwn = event.station === this.scenario.own;
    const who = this.name(event.station);
    switch (event.type) {
      case 'sending': {
        const { call, frequencyHz, repeat, seconds, rule } = event;
        const times = repeat > 1 ? `${repeat} times in a row, ` : '';
        const text = `${this.screen.colours.bold(who)} sends: ${this.describe(call)}`;
        return this.entry(event.time, frequencyHz, text, [`${times}${seconds.toFixed(1)} s`], rule);
      }
      case 'ceased':
        return this.entry(event.time, event.frequencyHz, `${who} breaks off.`, []);
      case 'received': {
        const { call, quality } = event.received;
        if (this.isRepeated(event) && !verbose) return [];
        const how = this.screen.colours[QUALITY_COLOUR[quality]](quality);
        const text = `${who} reads ${this.short(call)}: ${how}`;
        return this.entry(event.time, event.frequencyHz, text, []);
      }
      case 'lost': {
        const text = `${who} cannot read something: ${event.reason}`;
        return verbose ? this.entry(event.time, event.frequencyHz, text, []) : [];
      }
      case 'voice': {
        const text = `${this.screen.colours.bold(who)} says: “${event.text}”`;
        return this.entry(event.time, event.frequencyHz, text, []);
      }
      case 'skipped': {
        const text = `${who} could not ${event.event.do}: ${event.reason}`;
        return this.entry(event.time, undefined, this.screen.colours.yellow(text), []);
      }
      case 'action':
        return isOwn || verbose ? this.action(event, who) : [];
      case 'cue':
        return [];
    }
  }

  /** A station by its name, or by its digits. */
  name(identity: Identity): string {
    return this.names.get(identity) ?? formatIdentity(identity);
  }

  /** A station by its name and its digits, or by its digits alone. */
  nameAndDigits(identity: Identity): string {
    const name = this.names.get(identity);
    return name === undefined ? describeIdentity(identity) : `${name} (${formatIdentity(identity)})`;
  }

  /** A call in a sentence, with names. */
  describe(call: DecodedCall): string {
    return this.withNames(describeCall(call));
  }

  /** Whether a station reads a call again that it has just read. */
  private isRepeated({ time, station, received }: Extract<SimulationEvent, { type: 'received' }>): boolean {
    const key = `${station} ${received.quality} ${received.symbols.join()}`;
    const before = this.read.get(key);
    this.read.set(key, time);
    return before !== undefined && time - before < IN_A_ROW_MS;
  }

  private withNames(text: string): string {
    return [...this.names].reduce(
      (named, [identity, name]) =>
        named.replaceAll(describeIdentity(identity), name).replaceAll(formatIdentity(identity), name),
      text,
    );
  }

  private short(call: DecodedCall): string {
    const kind = kebab(call.kind).replaceAll('-', ' ');
    const sender = 'self' in call && typeof call.self === 'string' ? this.name(call.self) : 'a station';
    return `the ${kind} of ${sender}`;
  }

  private action({ time, action }: Extract<SimulationEvent, { type: 'action' }>, who: string): string[] {
    const { verbose } = this.options;
    switch (action.type) {
      case 'tell':
        return this.entry(
          time,
          undefined,
          `${who}: ${this.withNames(describeNotice(action))}`,
          [],
          action.rule,
        );
      case 'watch': {
        const { text, warnings } = followUpOf(action.call, action.frequencyHz, action.side);
        return this.entry(time, undefined, `${who} sets watch: ${text}`, warnings, action.rule);
      }
      case 'refuse': {
        const text = `${who}: ${describeRefusal(action)}`;
        return this.entry(time, undefined, this.screen.colours.yellow(text), [], action.rule);
      }
      case 'phase': {
        const text = `${who}: ${action.kind} exchange ${action.exchange} is now ${action.to}`;
        return verbose ? this.entry(time, undefined, this.screen.colours.dim(text), [], action.rule) : [];
      }
      case 'offer':
        return [];
    }
  }

  private entry(
    time: number,
    frequencyHz: number | undefined,
    text: string,
    facts: readonly string[],
    rule?: RuleName,
  ): string[] {
    const { colours, width } = this.screen;
    const frequency = frequencyHz === undefined ? '' : formatFrequency(frequencyHz);
    const clock = utcClock(time);
    const indent = ' '.repeat(clock.length + FREQUENCY_COLUMNS + 4);
    const head = `${colours.bold(clock)}  ${pad(frequency, FREQUENCY_COLUMNS)}  `;
    const reason = this.options.verbose && rule ? [`${RULES[rule].text} ${RULES[rule].source}`] : [];
    return [
      ...wrap(text, width, indent, head),
      ...[...facts, ...reason].flatMap((line) => wrap(line, width, indent, indent)).map(colours.dim),
    ];
  }
}
