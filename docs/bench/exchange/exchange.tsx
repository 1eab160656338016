/**
 * Exchange: a call goes out, the answer comes back, and the person decides what is next; or the other way round.
 */
import { CALL_KINDS, DotphaseError, parseIdentity, type Identity } from 'dotphase';
import { answerFrequency, outlineCall } from 'dotphase/frequencies';
import {
  choicesFor,
  isCoastStation,
  radioOf,
  type ChooseEvent,
  type Exchange,
  type StationEvent,
  type StationState,
} from 'dotphase/procedures';
import type { SimulationEvent } from 'dotphase/simulation';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { sayRefusal } from '../audio/capture.js';
import { FIRST_DRAFT, compose, type Draft } from '../compose/draft.js';
import { kindText } from '../compose/kinds.js';
import { settle } from '../compose/settle.js';
import { TransmitCaution } from '../parts/cautions.js';
import { RadioRow } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { Wall, WallButton } from '../wall/wall.js';
import { FIRST_ANSWERS, answerTo, whySilent } from './answers.js';
import { Ask, type Question } from '../parts/ask.js';
import { loadQuestion } from './loadquestion.js';
import { useBook } from './book.js';
import { BookView } from './bookview.js';
import { openCable } from './cable.js';
import { FIRST_CALLED, calledEvent } from './called.js';
import { CalledForm, settledCalled } from './calledform.js';
import { CallForm, StationField, frequenciesOf, type Attempt } from './callform.js';
import { channelMessage } from './choices.js';
import type { OwnStation } from './link.js';
import { Moments } from './moments.js';
import { callOf, isRunning, priorityOf, sayPhase } from './say.js';
import { seaOf } from './sea.js';
import { useSession, type Moment } from './session.js';
import { AnswerSetup, FIRST_SET, FIRST_VIRTUAL, SetSetup, VirtualSetup, amplitudeOf } from './setup.js';
import { useOnePress } from './onepress.js';
import { announcementOf } from './ofexchange.js';
import { Announced, Before, ComingIn, Stage, heardPriority } from './stage.js';
import { openVirtual, type VirtualLink } from './virtual.js';
import { ExchangeWall } from './exchangewall.js';

type Partner = 'virtual' | 'set';

/** A call shows that it is on its way within this time, also where the machine is slow. */
const LONGEST_START_MS = 5_000;
/** A virtual station that is asked for a call a second time within this time is not asked. */
const SAME_PRESS_MS = 1_000;

/** Choices after which something sounds: all but the end. */
const isSending = (choice: ChooseEvent['choice']) => choice !== 'stop';

const KEPT_DRAFT: Draft = { ...FIRST_DRAFT, receive: { ...FIRST_DRAFT.receive, form: 'none' } };

function ownDigits(text: string): Identity | undefined {
  try {
    return parseIdentity(text);
  } catch {
    return undefined;
  }
}

/** The exchange that is shown large: the latest. */
function latestOf(state: StationState | undefined): Exchange | undefined {
  return state?.exchanges.reduce<Exchange | undefined>(
    (last, each) => (last && last.id > each.id ? last : each),
    undefined,
  );
}

export function ExchangeView() {
  const book = useBook();
  const [partner, setPartner] = useKept<Partner>('partner', 'virtual');
  const [draft, setDraft] = useKept('exchange call', KEPT_DRAFT);
  const [attempt, setAttempt] = useKept<Attempt>('attempt', 'one');
  const [virtual, setVirtual] = useKept('sea', FIRST_VIRTUAL);
  const [set, setSet] = useKept('set', FIRST_SET);
  const [asked, setAsked] = useKept('called', FIRST_CALLED);
  const [answers, setAnswers] = useKept('answers', FIRST_ANSWERS);
  const [listenHz, setListenHz] = useKept('set frequency', 2_187_500);
  const [question, setQuestion] = useState<Question>();
  const [complaint, setComplaint] = useState('');
  const [isOpening, setOpening] = useState(false);
  const settings = useRef({ answers, set, listenHz });
  settings.current = { answers, set, listenHz };
  const timers = useRef(new Set<ReturnType<typeof setTimeout>>());
  const composed = useMemo(() => compose(draft), [draft]);

  const session = useSession((happened, state) => {
    if (happened.station !== state?.identity) return;
    tune(happened);
    if (happened.type !== 'action') return;
    const { answers: now, set: loaded } = settings.current;
    const exchange =
      'exchange' in happened.action
        ? state.exchanges.find(({ id }) => 'exchange' in happened.action && id === happened.action.exchange)
        : undefined;
    const isUrgent = exchange?.kind === 'incoming' && exchange.call.kind === 'urgencyCall';
    if (isUrgent && partner === 'set' && !loaded.isLoaded) return;
    const hz = exchange?.kind === 'incoming' ? exchange.frequencyHz : 0;
    const message = channelMessage(now.channel, hz > 0 ? radioOf(hz) : 'mf-hf');
    const event = answerTo(happened.action, state, now, message);
    if (!event) return;
    const timer = setTimeout(() => {
      timers.current.delete(timer);
      session.act(event);
    }, 1000 * now.delay);
    timers.current.add(timer);
  });
  const { state, moments, reading, isOpen } = session;
  const isBusy = isRunning(state);
  const calling = useOnePress(isBusy);
  const latest = latestOf(state);
  const announcement = announcementOf(moments);

  const clearTimers = () => {
    for (const timer of timers.current) clearTimeout(timer);
    timers.current.clear();
  };
  useEffect(() => clearTimers, []);

  const conducts = JSON.stringify(book.stations.map(({ identity, conduct }) => [identity, conduct]));
  useEffect(() => {
    const link = session.link.current?.link;
    if (!link || !('setConduct' in link)) return;
    for (const { identity, conduct } of book.stations) {
      if (identity !== state?.identity) (link as VirtualLink).setConduct(identity, conduct);
    }
  }, [conducts]);

  /** Virtual stations are heard where the own station calls, then where its answer comes. */
  function tune(happened: SimulationEvent): void {
    const link = session.link.current?.link;
    if (!link || !('tune' in link)) return;
    const virtualLink = link as VirtualLink;
    if (happened.type === 'sending') virtualLink.tune(happened.frequencyHz);
    if (happened.type === 'received') virtualLink.tune(happened.frequencyHz);
    if (happened.type !== 'action' || happened.action.type !== 'phase') return;
    if (happened.action.to !== 'awaiting') return;
    const { exchange: id } = happened.action;
    const sent = moments.findLast((moment) => moment.type === 'sending' && moment.exchange === id);
    if (sent?.type === 'sending') virtualLink.tune(answerFrequency(outlineCall(sent.call), sent.frequencyHz));
  }

  const own = ((): OwnStation | undefined => {
    const identity = ownDigits(draft.self);
    if (identity === undefined) return undefined;
    const name = book.own.find((each) => each.identity === identity)?.name;
    const coast = book.stations.find((each) => isCoastStation(each.identity) && each.identity !== identity);
    return {
      identity,
      ...(name !== undefined && { name }),
      ...(coast && { coastStation: coast.identity }),
    };
  })();

  const called = own && settledCalled(asked, book.stations, own.identity);
  const dscHz = frequenciesOf(draft, attempt);
  const isHeard = partner === 'set' || virtual.isAudible;

  async function open(): Promise<boolean> {
    if (!own) return false;
    setOpening(true);
    setComplaint('');
    try {
      if (partner === 'virtual') {
        const reach =
          draft.kind === 'distressAlert' || !composed.call
            ? []
            : [answerFrequency(outlineCall(composed.call), draft.dscHz)];
        const watch = [...new Set([...dscHz, ...reach, ...(called ? [called.dscHz] : [])])];
        // How a station behaves may change while it is there.
        const places = book.stations.map((station) => ({ ...station, conduct: undefined }));
        const key = JSON.stringify([partner, own, places, virtual, watch]);
        const link = await session.open(key, own, (events) =>
          openVirtual(
            seaOf(own, book.stations, virtual, watch, Date.now() % 1_000_000),
            virtual.isAudible,
            events,
          ),
        );
        (link as VirtualLink).tune(dscHz[0]);
      } else {
        await session.open(JSON.stringify([partner, own.identity, set.input]), own, (events) =>
          openCable({
            own,
            inputId: set.input === '' ? undefined : set.input,
            amplitude: () => amplitudeOf(settings.current.set),
            listenHz: () => settings.current.listenHz,
            ...events,
          }),
        );
      }
      return true;
    } catch (error) {
      setComplaint(
        partner === 'set' ? sayRefusal(error) : error instanceof Error ? error.message : String(error),
      );
      return false;
    } finally {
      setOpening(false);
    }
  }

  function eventOf(): StationEvent | undefined {
    const { call } = composed;
    if (!call) return undefined;
    if (call.kind !== 'distressAlert') return { type: 'call', call, frequencyHz: draft.dscHz };
    const { nature, followOn, position, time, expansions } = call;
    return {
      type: 'distress',
      nature,
      followOn,
      position,
      time,
      frequencies: dscHz,
      ...(expansions && { expansions }),
    } as StationEvent;
  }

  async function send(event: StationEvent): Promise<void> {
    if (!calling.press()) return;
    if (!(await open())) {
      calling.hold(0);
      return;
    }
    if (partner === 'set' && radioOf(dscHz[dscHz.length - 1]) !== 'vhf') {
      const { call } = composed;
      const hz = dscHz[dscHz.length - 1];
      setListenHz(call ? answerFrequency(outlineCall(call), hz) : hz);
    }
    try {
      session.act(event);
      calling.hold(LONGEST_START_MS);
    } catch (error) {
      calling.hold(0);
      if (!(error instanceof DotphaseError)) throw error;
      setComplaint(`${error.field}: expected ${error.expected}.`);
    }
  }

  /** Runs what makes a call of a priority sound, after asking where it could do harm. */
  function guarded(priority: string, act: () => void): void {
    if (isHeard && (priority === 'distress' || priority === 'urgency')) {
      setQuestion(loadQuestion(priority, act));
    } else act();
  }

  const result = useRef<HTMLElement>(null);
  function showResult(): void {
    const top = result.current?.getBoundingClientRect().top ?? 0;
    if (top > 0.6 * innerHeight) result.current?.scrollIntoView({ behavior: 'smooth' });
  }

  function call(): void {
    const event = eventOf();
    if (!event || !composed.call) return;
    guarded(priorityOf(composed.call), () => {
      void send(event);
      showResult();
    });
  }

  /** Lets the chosen virtual station call. */
  function beCalled(): void {
    if (!called) return;
    guarded(kindText(called.kind).priority ?? 'routine', () => {
      if (!calling.press()) return;
      void open().then((isThere) => {
        calling.hold(isThere ? SAME_PRESS_MS : 0);
        if (!isThere) return;
        const link = session.link.current?.link as VirtualLink;
        link.tune(called.dscHz);
        link.actFor(called.caller, calledEvent(called, own.identity));
      });
      showResult();
    });
  }

  function choose(event: ChooseEvent): void {
    const exchange = state?.exchanges.find(({ id }) => id === event.exchange);
    const about = exchange && callOf(exchange);
    const priority =
      exchange?.kind === 'distress' || exchange?.kind === 'alert'
        ? 'distress'
        : about
          ? priorityOf(about)
          : '';
    if (isSending(event.choice)) {
      guarded(priority, () => {
        session.act(event);
      });
    } else session.act(event);
  }

  function stop(): void {
    const running = state?.exchanges.filter(({ id }) =>
      choicesFor(state, id).some(({ choice }) => choice === 'stop'),
    );
    for (const { id } of running ?? []) session.act({ type: 'choose', exchange: id, choice: 'stop' });
  }

  const others = state?.exchanges.filter(
    (each) => each.id !== latest?.id && choicesFor(state, each.id).length > 0,
  );
  const priority = composed.call && priorityOf(composed.call);
  const change = (part: Partial<Draft>) => {
    setDraft((before) => settle(before, part));
  };
  const silent = (moment: Extract<Moment, { type: 'received' }>) =>
    state && whySilent(moment.received, moment.frequencyHz, state);
  const isSilenced = isBusy || isOpening || calling.isPressed;

  return (
    <>
      <header class="view-head with-action">
        <div>
          <h1>Exchange</h1>
          <p>
            Choose a call and press Call: see it go out, hear the answer come back, and decide what is next.
          </p>
        </div>
        <WallButton view="exchange" />
      </header>
      <div class="exchange">
        <form
          class="sheet"
          aria-label="The call and its partner"
          onSubmit={(event) => {
            event.preventDefault();
            call();
          }}
        >
          <p class={`actions call-actions${isBusy ? ' busy' : ''}`}>
            {isBusy ? (
              <button
                type="button"
                class="main big"
                onClick={({ detail }) => {
                  // The second click of two on Call, in whose place this button has come.
                  if (detail < 2) stop();
                }}
              >
                Stop
              </button>
            ) : (
              <button type="submit" class="main big" disabled={!composed.call || isSilenced}>
                Call
              </button>
            )}
            {isOpen ? (
              <button
                type="button"
                onClick={() => {
                  clearTimers();
                  session.close();
                }}
              >
                Switch off
              </button>
            ) : (
              <button type="button" disabled={!own || isOpening} onClick={() => void open()}>
                Only listen
              </button>
            )}
          </p>
          <p class="said" role="status">
            {isOpen
              ? `${partner === 'set' ? 'The sound card is open' : 'The virtual stations are there'}: this station listens and answers.`
              : 'Switched off.'}
          </p>
          {(complaint !== '' || session.trouble !== '') && (
            <p class="notice" role="alert">
              {complaint === '' ? session.trouble : complaint}
            </p>
          )}
          {priority !== undefined && (priority === 'distress' || priority === 'urgency') && isHeard && (
            <TransmitCaution priority={priority} />
          )}
          <fieldset class="plain" disabled={isSilenced}>
            <RadioRow<Partner>
              legend="At the other end"
              value={partner}
              onValue={(next) => {
                session.close();
                setPartner(next);
              }}
              choices={[
                { value: 'virtual', text: 'Virtual stations' },
                { value: 'set', text: 'A real set on the sound card' },
              ]}
            />
            <StationField
              label="This station"
              otherLabel="Own identity"
              entries={book.own}
              value={draft.self}
              complaint={composed.complaints.self}
              onValue={(self) => {
                change({ self });
              }}
            />
            <CallForm
              draft={draft}
              attempt={attempt}
              composed={composed}
              book={book}
              onDraft={change}
              onAttempt={setAttempt}
            />
          </fieldset>
          <details open={partner === 'set'}>
            <summary>{partner === 'set' ? 'The sound card' : 'What lies between'}</summary>
            {partner === 'set' ? (
              <div class="setup">
                <SetSetup
                  settings={set}
                  listenHz={listenHz}
                  peak={session.peak}
                  isOpen={isOpen}
                  onSettings={(part) => {
                    setSet((before) => ({ ...before, ...part }));
                  }}
                  onListenHz={setListenHz}
                />
              </div>
            ) : (
              <fieldset class="plain setup" disabled={isSilenced}>
                <VirtualSetup
                  settings={virtual}
                  onSettings={(part) => {
                    setVirtual((before) => ({ ...before, ...part }));
                  }}
                />
              </fieldset>
            )}
          </details>
          {partner === 'virtual' && called && (
            <details>
              <summary>Receive a call from a virtual station</summary>
              <div class="setup">
                <CalledForm
                  settings={called}
                  stations={book.stations}
                  own={own.identity}
                  isBusy={isSilenced}
                  isHeard={isHeard}
                  onSettings={(part) => {
                    setAsked({ ...called, ...part });
                  }}
                  onCalled={beCalled}
                />
              </div>
            </details>
          )}
          <details>
            <summary>When this station is called</summary>
            <div class="setup">
              <AnswerSetup
                settings={answers}
                onSettings={(part) => {
                  setAnswers((before) => ({ ...before, ...part }));
                }}
              />
            </div>
          </details>
        </form>
        <section ref={result} class="result" aria-label="The exchange">
          {announcement && <Announced announcement={announcement} describe={book.describe} />}
          {latest && state ? (
            <Stage
              key={latest.id}
              exchange={latest}
              state={state}
              moments={moments}
              reading={reading}
              describe={book.describe}
              stations={book.stations}
              onChoose={choose}
              onAsk={setQuestion}
            />
          ) : announcement ? (
            reading && <ComingIn reading={reading} />
          ) : (
            <Before
              call={composed.call}
              frequencies={dscHz}
              isOpen={isOpen}
              reading={reading}
              describe={book.describe}
            />
          )}
          {others?.map((exchange) => (
            <details key={exchange.id} class="other-exchange">
              <summary>
                {sayPhase(exchange)}: {nameOf(exchange)}
              </summary>
              {state && (
                <Stage
                  exchange={exchange}
                  state={state}
                  moments={moments}
                  reading={undefined}
                  describe={book.describe}
                  stations={book.stations}
                  onChoose={choose}
                  onAsk={setQuestion}
                />
              )}
            </details>
          ))}
        </section>
      </div>
      {moments.length > 0 && (
        <section class="story" aria-label="What happened">
          <div class="with-action">
            <h2>What happened</h2>
            <button
              type="button"
              class="quiet"
              onClick={() => {
                session.clear();
              }}
            >
              Clear
            </button>
          </div>
          <Moments moments={moments} describe={book.describe} whySilent={silent} />
        </section>
      )}
      <details class="book-sheet">
        <summary>Address book and own identities</summary>
        <fieldset class="plain" disabled={isSilenced}>
          <BookView book={book} />
        </fieldset>
      </details>
      {question && (
        <Ask
          question={question}
          onOver={() => {
            setQuestion(undefined);
          }}
        />
      )}
      <Wall
        view="exchange"
        category={announcement ? heardPriority(announcement) : latest && categoryOf(latest)}
        label="The exchange, large"
      >
        <ExchangeWall
          exchange={latest}
          announcement={announcement}
          moments={moments}
          reading={reading}
          own={own?.name ?? draft.self}
          describe={book.describe}
        />
      </Wall>
    </>
  );
}

function nameOf(exchange: Exchange): string {
  const kind = callOf(exchange)?.kind;
  const known = CALL_KINDS.find((each) => each === kind);
  return known ? kindText(known).name : 'distress of another';
}

function categoryOf(exchange: Exchange): string | undefined {
  if (exchange.kind === 'distress' || exchange.kind === 'alert') return 'distress';
  const call = callOf(exchange);
  return call && priorityOf(call);
}
