/**
 * The working copy of a station during one step: it collects the actions, so that a step as a whole is a pure
 * function.
 */
import { unitInterval } from '../dsp/index.js';
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';
import type { Call } from '../calls/index.js';
import type { Choice, StationAction } from './actions.js';
import type { Exchange } from './exchange.js';
import { transmitterOf } from './radio.js';
import type { Cancellation, Notice, Refusal } from './notices.js';
import type { RuleName } from './rules.js';
import { DISTRESS_PRIORITY, type StationState, type Transmission } from './state.js';

/** What is to be sent. */
export interface QueuedCall {
  readonly call: Call;
  readonly frequencyHz: number;
  readonly repeat?: number;
  readonly priority: number;
  /** Not before this; default at once. */
  readonly notBefore?: number;
  readonly rule: RuleName;
}

/** A working copy. */
export class StepContext {
  readonly state: StationState;
  readonly actions: StationAction[] = [];
  readonly now: number;

  constructor(state: StationState, now: number) {
    this.state = structuredClone(state);
    this.state.now = Math.max(now, state.now);
    this.now = this.state.now;
  }

  /** A new exchange takes its place. */
  begin<E extends Exchange>(exchange: Omit<E, 'id' | 'since'>, rule: RuleName): E {
    const complete = { ...exchange, id: this.state.nextId++, since: this.now } as E;
    this.state.exchanges.push(complete);
    const { id, kind, phase } = complete;
    this.actions.push({ type: 'phase', exchange: id, kind, from: undefined, to: phase, rule });
    return complete;
  }

  /** An exchange goes to another phase. */
  enter<E extends Exchange>(exchange: E, phase: E['phase'], rule: RuleName): void {
    const { id, kind, phase: from } = exchange;
    exchange.phase = phase;
    exchange.since = this.now;
    this.actions.push({ type: 'phase', exchange: id, kind, from, to: phase, rule });
  }

  /** The exchange of an id. */
  find(id: number): Exchange | undefined {
    return this.state.exchanges.find((exchange) => exchange.id === id);
  }

  /** Tells the operator. */
  tell(notice: Notice, rule: RuleName, exchange?: Exchange): void {
    const about = exchange === undefined ? {} : { exchange: exchange.id };
    this.actions.push({ type: 'tell', ...about, notice, rule });
  }

  /** Asks for watch where a call sent on a DSC frequency says that communication goes on. */
  watch(
    call: Call,
    frequencyHz: number,
    side: 'caller' | 'called',
    rule: RuleName,
    exchange?: Exchange,
    say?: Cancellation,
  ): void {
    this.actions.push({
      type: 'watch',
      ...(exchange && { exchange: exchange.id }),
      call,
      frequencyHz,
      side,
      ...(say && { say }),
      rule,
    });
  }

  /** Says that what was asked for is not done. */
  refuse(refusal: Refusal, rule: RuleName): void {
    this.actions.push({ type: 'refuse', refusal, rule });
  }

  /** Offers what may be done, if anything. */
  offer(exchange: Exchange, choices: readonly Choice[], rule: RuleName): void {
    if (choices.length === 0) return;
    this.actions.push({ type: 'offer', exchange: exchange.id, choices, rule });
  }

  /** A random number from `low` to `high`. */
  random(low: number, high: number): number {
    const generator = xoroshiro128plusFromState(this.state.random);
    const unit = unitInterval(generator.next());
    this.state.random = [...generator.getState()];
    return low + unit * (high - low);
  }

  /** Puts a call in the queue of its radio. */
  send(exchange: Exchange, queued: QueuedCall): void {
    const { call, frequencyHz, repeat = 1, priority, notBefore = this.now, rule } = queued;
    const transmission: Transmission = {
      id: this.state.nextId++,
      exchange: exchange.id,
      call,
      frequencyHz,
      repeat,
      priority,
      notBefore,
      ...(priority > DISTRESS_PRIORITY && { giveUpAt: notBefore + this.state.timing.busyLimitMs }),
      rule,
    };
    transmitterOf(this.state, frequencyHz).queue.push(transmission);
  }

  /**
   * Takes what an exchange still has to send out of the queues.
   *
   * @returns whether there was anything
   */
  unqueue(exchange: Exchange): boolean {
    const waiting = Object.values(this.state.radios).map((radio) => {
      const before = radio.queue.length;
      radio.queue = radio.queue.filter((each) => each.exchange !== exchange.id);
      return before - radio.queue.length;
    });
    return waiting.some((count) => count > 0);
  }

  /**
   * Puts another call of the same kind in the place of one that waits, not before a time.
   *
   * @returns whether there was one
   */
  replace(exchange: Exchange, call: Call, notBefore: number): boolean {
    let isReplaced = false;
    for (const radio of Object.values(this.state.radios)) {
      radio.queue = radio.queue.map((waiting) => {
        if (waiting.exchange !== exchange.id || waiting.call.kind !== call.kind) return waiting;
        isReplaced = true;
        return { ...waiting, call, notBefore: Math.max(waiting.notBefore, notBefore) };
      });
    }
    return isReplaced;
  }

  /** Besides that, breaks off what it is sending. */
  silence(exchange: Exchange, rule: RuleName): void {
    this.unqueue(exchange);
    for (const radio of Object.values(this.state.radios)) {
      const { current } = radio;
      if (current?.exchange !== exchange.id || radio.ceasing) continue;
      radio.ceasing = true;
      this.actions.push({ type: 'cease', transmission: current.id, rule });
    }
  }

  /** Whether an exchange has anything on the air. */
  isOnAir(exchange: Exchange): boolean {
    return Object.values(this.state.radios).some(({ current }) => current?.exchange === exchange.id);
  }

  /** Whether an exchange has anything in a queue or on the air. */
  isSending(exchange: Exchange): boolean {
    const isQueued = Object.values(this.state.radios).some(({ queue }) =>
      queue.some((waiting) => waiting.exchange === exchange.id),
    );
    return isQueued || this.isOnAir(exchange);
  }
}
