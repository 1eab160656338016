/**
 * An exchange over real sound: a call goes out, what comes in is listened to, and the procedures say what may come
 * next.
 */
import { describeCall, encodeCall, formatIdentity, type Call, type DecodedCall } from '../../calls/index.js';
import { Described, DotphaseError } from '../../errors.js';
import { frameCall } from '../../frames/index.js';
import { answerFrequency, followUpOf, formatFrequency, outlineCall } from '../../frequencies/index.js';
import { modulate, type ModulateOptions } from '../../modem/index.js';
import {
  addressedOf,
  choicesFor,
  createStation,
  dueAt,
  stepStation,
  type Choice,
  type ChooseEvent,
  type Exchange,
  type StationAction,
  type StationEvent,
  type StationState,
} from '../../procedures/index.js';
import {
  RULES,
  describeCancellation,
  describeNotice,
  describeRefusal,
} from '../../procedures/texts/index.js';
import { createOwnSound, createReceiver, type ReceivedCall, type Receiver } from '../../receiver/index.js';
import type { Band } from '../../symbols/index.js';
import { calledStation } from '../callfrequencies.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from '../cautions.js';
import { drawFields } from '../explain/fields.js';
import { Page } from '../explain/page.js';
import type { Profile } from '../profile/profile.js';
import { trustOf } from '../report.js';
import { InputLevel } from '../sound/level.js';
import type { SoundPort } from '../sound/port.js';
import { outcomeOf, type Outcome } from './ending.js';
import type { Printer } from './printer.js';
import type { ExchangeRecord } from './record.js';
import { SentSequence } from './sequence.js';
import { RuleTexts, followText, waitText } from './words.js';

/** What is to be sent and how. */
export interface CallPlan {
  readonly call: Call;
  /** DSC frequencies, assigned, hertz: several only for a distress alert. */
  readonly frequencies: readonly number[];
  readonly band: Band;
  readonly tones: Omit<ModulateOptions, 'sampleRate'>;
  /** For the acknowledgement, milliseconds; of a distress alert default until its next attempt. */
  readonly waitMs: number | undefined;
  /** Without an operator the call is sent so many times at most. */
  readonly attempts: number;
}

/** What an operator answers: a choice, `listen` to be asked later, or `end`. */
export type Decision = ChooseEvent['choice'] | 'listen' | 'end';

/** Asks the operator what comes next. */
export type Ask = (
  message: string,
  choices: ReturnType<typeof choicesFor>,
  other: 'listen' | 'end',
  signal: AbortSignal,
) => Promise<Decision>;

/** What an exchange works with. */
export interface ExchangeTools {
  readonly port: SoundPort;
  readonly printer: Printer;
  readonly record: ExchangeRecord;
  readonly profile: Profile;
  /** Undefined where nobody is there to be asked. */
  readonly ask: Ask | undefined;
}

/** About so long is waited for an acknowledgement (common practice, no source). */
const DEFAULT_WAIT_MS = 60_000;

/** A call that comes in occupies its frequency no longer than this, milliseconds. */
const LONGEST_CALL_MS: Readonly<Record<Band, number>> = { 'mf-hf': 12_000, vhf: 1500 };

/** The phasing of another sending in a row is reached within this after the end of the one before (M.493 §3, from memory). */
const NEXT_SENDING_MS: Readonly<Record<Band, number>> = { 'mf-hf': 5000, vhf: 700 };

/** An operator who listens on is asked again after this. */
const ASK_AGAIN_MS = 30_000;

/** The repetition of an alert is stopped so long before it would begin. */
const BEFORE_REPETITION_MS = 300;

/** Said when nothing at all comes from the input for so long. */
const STALLED_MS = 3000;

/** A sound card that gives nothing for so long will not give anything. */
const START_PATIENCE_MS = 5000;

/** What an alert says, where all of it is of the tables. */
type OwnDistressFields = Pick<
  Extract<StationEvent, { type: 'distress' }>,
  'nature' | 'followOn' | 'position' | 'time'
>;

/** What is on the air. */
interface OnAir {
  readonly transmission: number;
  readonly sequence: SentSequence;
  readonly begun: number;
}

/** One exchange, from the call to its end. */
export class LiveExchange {
  private state: StationState;
  private readonly receiver: Receiver;
  private readonly level: InputLevel;
  private readonly ownSound = createOwnSound();
  private readonly rules = new RuleTexts();
  /** The exchange's id, once it has begun. */
  private id: number | undefined;
  private outcome: Outcome | undefined;
  private onAir: OnAir | undefined;
  private isClosed = false;
  /** Samples heard so far. */
  private heard = 0;
  private latestInput: number;
  private isStalled = false;
  /** The frequency of the latest sending, hertz. */
  private frequencyHz: number;
  /** The frequency that another call occupies, and until when at most. */
  private busy: { readonly frequencyHz: number; readonly until: number } | undefined;
  /** The own sending that was heard last. */
  private ownHeard: number | undefined;
  private isCautioned = false;
  /** The call that is being taken, whose text need not be said twice. */
  private taking: { readonly text: string; readonly start: number } | undefined;
  /** The question that stands, and what it is about. */
  private asking: { readonly about: string; readonly controller: AbortController } | undefined;
  /** What the operator wants to be asked later, and when. */
  private later: { readonly about: string; readonly at: number } | undefined;
  private questionError: unknown;

  constructor(
    private readonly plan: CallPlan,
    private readonly tools: ExchangeTools,
  ) {
    const { port } = tools;
    const { call, band, frequencies, waitMs = DEFAULT_WAIT_MS } = plan;
    if (!('self' in call) || typeof call.self !== 'string')
      throw new DotphaseError('--from', call, 'a call with the identity of its sender');
    this.frequencyHz = frequencies[0];
    this.latestInput = port.now();
    this.level = new InputLevel(port.sampleRate);
    // Two stations that call at the same moment must not wait equally long.
    const seed = Math.floor(port.now() % 1e9);
    const timing = { acknowledgementWaitMs: Math.max(1000, waitMs) };
    this.state = createStation({ identity: call.self, timing, seed }, port.now());
    this.receiver = createReceiver({
      sampleRate: port.sampleRate,
      bands: [band],
      onEvent: ({ type }) => {
        if (type === 'phasing') this.occupy(LONGEST_CALL_MS[band]);
      },
    });
  }

  /**
   * Carries the exchange through.
   *
   * @returns how it ended; undefined where it was closed before
   * @throws DotphaseError when the sound fails
   */
  async run(): Promise<Outcome | undefined> {
    const { port } = this.tools;
    const opened = port.now();
    if (this.isRefused()) return 'refused';
    if (!port.isSoundCard) this.begin();
    for await (const block of port.blocks()) {
      if (this.isClosed) return undefined;
      if (this.questionError !== undefined) throw this.questionError as Error;
      this.listen(block);
      if (this.id === undefined) {
        if (block.length > 0) this.begin();
        else if (port.now() - opened > START_PATIENCE_MS) throw this.noInput();
      }
      this.advance();
      if (this.outcome !== undefined) break;
    }
    this.close();
    return this.outcome;
  }

  /** Breaks off whatever goes on. */
  close(): void {
    if (this.isClosed) return;
    this.isClosed = true;
    this.asking?.controller.abort();
    this.tools.record.breakOff();
    this.tools.printer.clear();
  }

  /** Whether something is going out. */
  get isSending(): boolean {
    return this.onAir !== undefined;
  }

  /** The caution after a distress alert was broken off; undefined where nothing is. */
  get advice(): string | undefined {
    const exchange = this.exchange();
    const isOpen = exchange?.kind === 'distress' && exchange.phase !== 'cancelled';
    if (!isOpen || exchange.sentOn.length === 0) return undefined;
    return `The alert went out on ${exchange.sentOn.map(formatFrequency).join(', ')}. ${RULES.stopped.text}`;
  }

  private now(): number {
    return this.tools.port.now();
  }

  private noInput(): DotphaseError {
    const { inputName } = this.tools.port;
    return new DotphaseError(
      '--recorder',
      new Described(`nothing from ${inputName}`),
      'sound, before anything is sent: is another program using it?',
    );
  }

  private exchange(): Exchange | undefined {
    return this.state.exchanges.find(({ id }) => id === this.id);
  }

  private describe(call: DecodedCall): string {
    return describeCall(call, { station: (identity) => this.tools.profile.describe(identity) });
  }

  /** The event that begins the exchange. */
  private get opening(): StationEvent {
    const { call, frequencies } = this.plan;
    if (call.kind !== 'distressAlert') return { type: 'call', call, frequencyHz: frequencies[0] };
    const { nature, followOn, position, time, expansions } = call;
    return {
      type: 'distress',
      frequencies,
      ...({ nature, followOn, position, time } as OwnDistressFields),
      ...(expansions && { expansions }),
    };
  }

  /** Whether the procedures do not allow the call; says why. */
  private isRefused(): boolean {
    const { actions } = stepStation(this.state, this.opening, this.now());
    if (actions.some(({ type }) => type === 'phase')) return false;
    for (const action of actions) this.act(action);
    return true;
  }

  private begin(): void {
    this.step(this.opening);
  }

  /** Tells the station of an event, and does what it wants done. */
  private step(event: StationEvent): void {
    const { state, actions } = stepStation(this.state, event, this.now());
    this.state = state;
    for (const action of actions) this.act(action);
  }

  private act(action: StationAction): void {
    const { printer, record } = this.tools;
    const now = this.now();
    switch (action.type) {
      case 'transmit':
        this.transmit(action);
        return;
      case 'cease':
        this.tools.port.cut();
        return;
      case 'phase': {
        const { exchange, kind, from, to, rule } = action;
        if (from === undefined && (kind === 'outgoing' || kind === 'distress')) this.id ??= exchange;
        if (exchange !== this.id) return;
        if (to === 'awaiting' || to === 'waiting') this.tellWaiting(this.rules.of(rule));
        if (to === 'answered' || to === 'declined' || to === 'acknowledged')
          record.acknowledged(this.taking?.start ?? now);
        return;
      }
      case 'tell': {
        const text = describeNotice(action);
        const rest = this.taking === undefined ? text : text.replace(this.taking.text, '').trim();
        const rule = this.rules.of(action.rule);
        if (rest === '') printer.below(this.dim(rule));
        else printer.entry(now, rest.replace(/:$/, '.'), [rule]);
        return;
      }
      case 'watch': {
        const { call, frequencyHz, side, say } = action;
        const followUp = followUpOf(call, frequencyHz, side);
        printer.entry(now, followText(followUp), [
          ...(say === undefined ? [] : [`Say: “${describeCancellation(say)}”`]),
          ...followUp.warnings,
          this.rules.of(action.rule),
        ]);
        return;
      }
      case 'refuse':
        printer.entry(now, printer.screen.colours.yellow(describeRefusal(action)), [
          `[${RULES[action.rule].source}]`,
        ]);
        return;
      case 'offer':
      case 'timer':
        return;
    }
  }

  private dim(text: string): string[] {
    const { screen, columns } = this.tools.printer;
    const page = new Page({ ...screen, width: columns });
    page.text(text);
    return page
      .toString()
      .trimEnd()
      .split('\n')
      .map((line) => screen.colours.dim(line));
  }

  private transmit({
    call,
    frequencyHz,
    repeat,
    transmission,
    rule,
  }: Extract<StationAction, { type: 'transmit' }>): void {
    const { port, printer, record } = this.tools;
    const { band, tones } = this.plan;
    const now = this.now();
    const encoded = encodeCall(call);
    const frame = frameCall(encoded, { band, repeat });
    const audio = modulate(frame, { ...tones, sampleRate: port.sampleRate });
    const times = repeat > 1 ? `, ${repeat} times in a row` : '';
    this.frequencyHz = frequencyHz;
    this.onAir = {
      transmission,
      begun: now,
      sequence: new SentSequence(frame, encoded, printer.columns),
    };
    printer.entry(now, `Sends on ${formatFrequency(frequencyHz)}: ${this.describe(call)}`, [
      `${frame.duration.toFixed(frame.duration < 1 ? 2 : 1)} s on the air${times}`,
      this.rules.of(rule),
    ]);
    this.ownSound.add(encoded.symbols, now, now + frame.duration * 1000);
    record.sending(call, frequencyHz, now);
    port.play(audio, (isWhole) => {
      this.ended(transmission, isWhole);
    });
  }

  private ended(transmission: number, isWhole: boolean): void {
    if (this.isClosed || this.onAir?.transmission !== transmission) return;
    const { printer, record } = this.tools;
    const { sequence } = this.onAir;
    this.onAir = undefined;
    if (isWhole) {
      printer.below(sequence.linesUntil(Infinity));
      record.wentOut();
    } else {
      record.breakOff();
    }
    this.latestInput = this.now();
    this.step({ type: isWhole ? 'sent' : 'unsent', transmission });
  }

  /** How long the acknowledgement is waited for, milliseconds from the end of the sending. */
  private get waitMs(): number {
    return this.plan.waitMs ?? DEFAULT_WAIT_MS;
  }

  private tellWaiting(rule: string): void {
    const { printer } = this.tools;
    const { call, waitMs } = this.plan;
    const exchange = this.exchange();
    const isAlert = exchange?.kind === 'distress';
    if (exchange?.kind === 'outgoing') {
      const followUp = followUpOf(exchange.call, exchange.frequencyHz, 'caller');
      if (followUp.means !== 'none' && call.kind !== 'distressRelay')
        printer.entry(this.now(), `${followText(followUp)} Once it is acknowledged.`);
    }
    const howLong = isAlert && waitMs === undefined ? 'until the next attempt' : waitText(this.waitMs);
    printer.entry(this.now(), `Listens for the acknowledgement, ${howLong}.`, [rule]);
  }

  private listen(samples: Float32Array): void {
    const { port, printer } = this.tools;
    const now = this.now();
    if (samples.length === 0) {
      if (
        port.kind === 'live' &&
        !this.isStalled &&
        now - this.latestInput > STALLED_MS &&
        this.id !== undefined
      ) {
        this.isStalled = true;
        printer.warning(`Nothing comes from ${port.inputName} for ${STALLED_MS / 1000} s.`);
      }
      return;
    }
    this.latestInput = now;
    this.isStalled = false;
    this.heard += samples.length;
    // What comes in while the own call goes out says nothing about the input.
    if (port.isSoundCard && !this.onAir) for (const text of this.level.push(samples)) printer.warning(text);
    for (const received of this.receiver.push(samples)) this.receive(received);
  }

  private receive(received: ReceivedCall): void {
    const { printer, record, port } = this.tools;
    const start = this.now() - (this.heard / port.sampleRate - received.start) * 1000;
    // Only real sound comes back; in a recording the same call is another's.
    if (port.kind === 'live' && this.ownSound.isOwn(received, start)) {
      this.hearOwn(received);
      return;
    }
    // An alert is sent several times in a row.
    this.occupy(NEXT_SENDING_MS[this.plan.band]);
    const { call, quality } = received;
    const frequencyHz = this.listensOn();
    record.heard(received, frequencyHz, start);
    const event: StationEvent = {
      type: 'received',
      call,
      frequencyHz,
      endedAt: start + (received.end - received.start) * 1000,
      quality,
    };
    const isAnswer = answersIn(stepStation(this.state, event, this.now()).state, this.id) > this.answers();
    this.tellHeard(received, frequencyHz);
    if (isAnswer) this.explain(received);
    this.taking = { text: describeCall(call), start };
    this.step(event);
    this.taking = undefined;
    if (isAnswer) return;
    this.tellWhyNot(received);
    if (isDistress(received.symbols, received.certainty) && !this.isCautioned) {
      this.isCautioned = true;
      printer.warning(DECODED_DISTRESS_CAUTION);
    }
  }

  /** Where the answer to the latest sending comes, hertz. */
  private listensOn(): number {
    return answerFrequency(outlineCall(this.plan.call), this.frequencyHz);
  }

  private hearOwn({ quality, snrDb }: ReceivedCall): void {
    this.free();
    const { printer } = this.tools;
    const latest = this.state.nextId;
    if (this.ownHeard === latest) return;
    this.ownHeard = latest;
    printer.entry(
      this.now(),
      `The own sound is heard in the input (${quality}, ${snrDb.toFixed(0)} dB SNR in 3 kHz).`,
    );
  }

  private answers(): number {
    return answersIn(this.state, this.id);
  }

  private tellHeard(received: ReceivedCall, frequencyHz: number): void {
    const { printer } = this.tools;
    const { call, snrDb } = received;
    if (received.attempt.sending > 1 && received.quality !== 'clean') return;
    const strength = Number.isFinite(snrDb) ? [`${snrDb.toFixed(0)} dB SNR in 3 kHz`] : [];
    printer.entry(this.now(), `Heard on ${formatFrequency(frequencyHz)}: ${this.describe(call)}`, [
      [...strength, trustOf(received)].join('; '),
    ]);
  }

  /** Says why what was heard is not the answer, where the procedures said nothing. */
  private tellWhyNot({ call }: ReceivedCall): void {
    const { identity } = this.state;
    const exchange = this.exchange();
    const isWaiting = exchange?.phase === 'awaiting' || exchange?.phase === 'waiting';
    if (!isWaiting) return;
    if ('self' in call && call.self === identity)
      this.tools.printer.below(this.dim('It bears the own identity and is not the answer.'));
    else if (addressedOf(call, { identity, groups: [] }) === 'other')
      this.tools.printer.below(this.dim('It is addressed to another station and is not the answer.'));
  }

  /** The acknowledgement, field by field. */
  private explain({ call, symbols, certainty, expansions }: ReceivedCall): void {
    const { printer } = this.tools;
    const { band } = this.plan;
    const page = new Page({ ...printer.screen, width: printer.columns });
    drawFields(page, { band, symbols, certainty, expansions });
    printer.below(page.toString().trimEnd().split('\n'));
    const called = calledStation(this.plan.call);
    const sender = 'self' in call && typeof call.self === 'string' ? call.self : undefined;
    if (called === undefined || sender === undefined || sender === called) return;
    printer.below(
      this.dim(
        `${formatIdentity(called)} stands for all coast stations of its administration: one of them answers with its own identity. [NAVCEN]`,
      ),
    );
  }

  /** Another call comes in, which may occupy the frequency for so long. */
  private occupy(lengthMs: number): void {
    if (this.onAir || this.id === undefined) return;
    const frequencyHz = this.busy?.frequencyHz ?? this.frequencyHz;
    if (!this.busy) {
      this.tools.printer.entry(this.now(), 'A call comes in.');
      this.step({ type: 'channel', frequencyHz, busy: true });
    }
    this.busy = { frequencyHz, until: this.now() + lengthMs };
  }

  private free(): void {
    const { busy } = this;
    this.busy = undefined;
    if (busy) this.step({ type: 'channel', frequencyHz: busy.frequencyHz, busy: false });
  }

  private advance(): void {
    const now = this.now();
    if (this.busy && now >= this.busy.until) this.free();
    this.decide(now);
    if (this.outcome === undefined && (dueAt(this.state) ?? Infinity) <= now) {
      this.step({ type: 'tick' });
      this.decide(now);
    }
    if (this.outcome === undefined) this.progress(now);
  }

  /** Shows what goes out, and how long is listened. */
  private progress(now: number): void {
    const { printer } = this.tools;
    if (this.onAir) {
      const time = (now - this.onAir.begun) / 1000;
      const lines = this.onAir.sequence.linesUntil(time);
      if (lines.length > 0) printer.below(lines);
      printer.show(this.onAir.sequence.at(time));
      return;
    }
    const exchange = this.exchange();
    const { levelDb } = this.level;
    const level = Number.isFinite(levelDb) ? `, input ${levelDb.toFixed(0)} dBFS` : '';
    const left = (until: number) => `${Math.max(0, Math.ceil((until - now) / 1000))} s`;
    if (exchange?.kind === 'outgoing' && exchange.phase === 'awaiting' && exchange.sentAt !== undefined) {
      const waited = Math.floor((now - exchange.sentAt) / 1000);
      printer.show(`Listens for the acknowledgement: ${waited} of ${waitText(this.waitMs)}${level}`);
    } else if (exchange?.kind === 'distress' && exchange.nextAt !== undefined) {
      printer.show(`Listens for the acknowledgement, next attempt in ${left(exchange.nextAt)}${level}`);
    } else if (this.busy) {
      printer.show('Waits until the frequency is free');
    }
  }

  private decide(now: number): void {
    const exchange = this.exchange();
    if (!exchange || this.outcome !== undefined) return;
    this.outcome = outcomeOf(exchange);
    if (this.outcome !== undefined) return;
    if (exchange.kind !== 'outgoing' && exchange.kind !== 'distress') return;
    if (this.tools.ask) this.question(exchange, now);
    else this.goOn(exchange, now);
  }

  private offered(choice: ChooseEvent['choice']): Choice | undefined {
    if (this.id === undefined) return undefined;
    return choicesFor(this.state, this.id).find((each) => each.choice === choice);
  }

  /** Does what was chosen; what that needs was said with the choice. */
  private choose(choice: ChooseEvent['choice']): void {
    if (this.id === undefined) return;
    const needs = this.offered(choice)?.needs;
    const confirmed = needs && { [needs === 'consulted' ? 'directed' : 'necessary']: true };
    this.step({ type: 'choose', exchange: this.id, choice, ...confirmed });
  }

  /** Goes on without an operator. */
  private goOn(exchange: Extract<Exchange, { kind: 'outgoing' | 'distress' }>, now: number): void {
    const isLast = exchange.attempts >= this.plan.attempts;
    switch (exchange.phase) {
      case 'declined':
      case 'acknowledged':
        this.outcome = exchange.phase;
        return;
      case 'unanswered': {
        if (exchange.attempts === 0) {
          this.outcome = 'unsent';
          return;
        }
        const { from, needs } = this.offered('resend') ?? {};
        // What a relay needs, nobody is there to confirm; what is not offered does not come.
        if (isLast || from === undefined || needs !== undefined) this.outcome = 'unanswered';
        else if (from <= now) this.choose('resend');
        else this.tools.printer.show(`Sends again in ${Math.ceil((from - now) / 1000)} s`);
        return;
      }
      case 'awaiting':
      case 'waiting':
        if (isLast && now >= this.patienceEnds(exchange)) {
          this.tools.printer.entry(
            now,
            `No acknowledgement after ${exchange.attempts === 1 ? 'one attempt' : `${exchange.attempts} attempts`}.`,
          );
          this.choose('stop');
        }
    }
  }

  /** When the acknowledgement is no longer waited for, milliseconds. */
  private patienceEnds(exchange: Extract<Exchange, { kind: 'outgoing' | 'distress' }>): number {
    if (exchange.kind === 'outgoing') {
      // Where the procedures end the waiting at that time themselves, they do it with their own words.
      const { sentAt = Infinity, waitUntil = Infinity } = exchange;
      return waitUntil <= sentAt + this.waitMs ? Infinity : sentAt + this.waitMs;
    }
    const { nextAt = Infinity } = exchange;
    const latest = nextAt - BEFORE_REPETITION_MS;
    return this.plan.waitMs === undefined ? latest : Math.min(latest, exchange.since + this.plan.waitMs);
  }

  /** Asks the operator where there is something to choose. */
  private question(exchange: Extract<Exchange, { kind: 'outgoing' | 'distress' }>, now: number): void {
    const about = `${exchange.phase} ${exchange.attempts}`;
    const isEnd = exchange.phase === 'declined' || exchange.phase === 'acknowledged';
    const isAsked =
      isEnd ||
      exchange.phase === 'unanswered' ||
      (exchange.kind === 'distress' && exchange.phase === 'waiting') ||
      (exchange.phase === 'awaiting' && now >= this.patienceEnds(exchange));
    if (this.asking && (!isAsked || this.asking.about !== about)) this.asking.controller.abort();
    if (!isAsked || this.asking) return;
    if (this.later?.about === about && now < this.later.at) return;
    const words: Partial<Record<Exchange['phase'], string>> = {
      declined: 'The called station cannot comply.',
      acknowledged: 'The alert is acknowledged.',
      waiting: 'The alert went out.',
    };
    void this.put(
      `${words[exchange.phase] ?? 'No acknowledgement.'} What next?`,
      about,
      isEnd ? 'end' : 'listen',
    );
  }

  private async put(message: string, about: string, other: 'listen' | 'end'): Promise<void> {
    const { ask, printer } = this.tools;
    if (!ask || this.id === undefined) return;
    const controller = new AbortController();
    this.asking = { about, controller };
    // Whatever happens meanwhile is shown at once, and the question asked again.
    printer.hold(() => {
      controller.abort();
    });
    let decision: Decision | undefined;
    try {
      decision = await ask(message, choicesFor(this.state, this.id), other, controller.signal);
    } catch (error) {
      if (!controller.signal.aborted) this.questionError = error;
    } finally {
      this.asking = undefined;
      printer.release();
    }
    if (decision === undefined || this.isClosed) return;
    if (decision === 'listen') this.later = { about, at: this.now() + ASK_AGAIN_MS };
    else if (decision === 'end') this.outcome = this.ending();
    else this.choose(decision);
  }

  private ending(): Outcome {
    const phase = this.exchange()?.phase;
    return phase === 'declined' || phase === 'acknowledged' ? phase : 'unanswered';
  }
}

/** How often an exchange was answered. */
function answersIn({ exchanges }: StationState, id: number | undefined): number {
  const exchange = exchanges.find((each) => each.id === id);
  if (exchange?.kind === 'outgoing') return exchange.acknowledgements;
  return exchange?.kind === 'distress' ? exchange.acknowledgedBy.length : 0;
}
