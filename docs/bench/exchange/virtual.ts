/**
 * Virtual stations at the other end of an exchange, heard if wanted.
 */
import type { Identity } from 'dotphase';
import type { StationEvent } from 'dotphase/procedures';
import { describeRefusal } from 'dotphase/procedures/texts';
import type { Behaviour, Scenario } from 'dotphase/simulation';
import { openStream, type Stream } from '../audio/player.js';
import type { Link, LinkEvents } from './link.js';
import type { FromVirtual, ToVirtual } from './virtualprotocol.js';
import VirtualWorker from './virtualworker.js?worker&inline';

const SAMPLE_RATE = 8000;

export interface VirtualLink extends Link {
  /** Hears another frequency, hertz. */
  tune(frequencyHz: number): void;
  /** Lets another station behave otherwise from now on. */
  setConduct(station: Identity, behaviour: Behaviour): void;
  /** Lets another station do something of its own accord. */
  actFor(station: Identity, event: StationEvent): void;
}

/** Opens the virtual stations of a scenario. */
export async function openVirtual(
  scenario: Scenario,
  isAudible: boolean,
  events: LinkEvents,
): Promise<VirtualLink> {
  const stream: Stream | undefined = isAudible ? await openStream(SAMPLE_RATE) : undefined;
  const worker = new VirtualWorker();
  const send = (message: ToVirtual) => {
    worker.postMessage(message);
  };
  let isClosed = false;
  const close = () => {
    isClosed = true;
    worker.terminate();
    stream?.close();
  };
  const fail = (reason: string) => {
    close();
    events.onTrouble(reason, true);
  };
  worker.onmessage = ({ data }: MessageEvent<FromVirtual>) => {
    if (isClosed) return;
    switch (data.type) {
      case 'events':
        for (const event of data.events) events.onEvent(event);
        events.onState(data.state);
        return;
      case 'reading':
        events.onReading(data.reading);
        return;
      case 'audio':
        stream?.push(data.samples);
        return;
      case 'refused':
        events.onTrouble(`The virtual station does not call. ${describeRefusal(data.refusal)}`, false);
        return;
      case 'failed':
        fail(data.reason);
    }
  };
  worker.onerror = (event) => {
    fail(event.message);
  };
  send({ type: 'open', scenario });
  return {
    startedAt: Date.parse(scenario.start),
    act(event) {
      send({ type: 'act', event });
    },
    actFor(station, event) {
      send({ type: 'actFor', station, event });
    },
    setConduct(station, behaviour) {
      send({ type: 'conduct', station, behaviour });
    },
    tune(frequencyHz) {
      send({ type: 'tune', frequencyHz });
    },
    close,
  };
}
