/**
 * What the server gives, and how it is asked for.
 */
export type Ring = readonly (readonly [longitude: number, latitude: number])[];

/** A call in short. */
export interface Call {
  readonly id: number;
  readonly time: number;
  readonly timeSource?: 'live' | 'recorded' | 'decoded';
  readonly kind: string;
  readonly from?: string;
  readonly to?: string;
  readonly frequencyHz?: number;
  readonly quality?: string;
  readonly snrDb?: number;
  readonly input?: string;
  readonly file?: string;
  readonly text: string;
  /** Each in order of time, on whichever frequency. */
  readonly sendings: readonly { readonly time: number; readonly frequencyHz?: number }[];
  readonly position?: { readonly latitude: number; readonly longitude: number; readonly of: string };
  readonly area?: readonly Ring[];
}

/** One call with its characters. */
export interface WholeCall extends Call {
  readonly fields: readonly {
    readonly field: string;
    readonly label: string;
    readonly symbols: readonly (number | null)[];
    readonly meaning: string;
  }[];
}

export interface InputEvent {
  readonly id: number;
  readonly input: string;
  readonly kind: string;
  readonly time: number;
  readonly until?: number;
  readonly text: string;
}

export interface Level {
  readonly input: string;
  readonly time: number;
  readonly rmsDb?: number;
  readonly peakDb?: number;
}

export interface Counted {
  readonly key?: string | number;
  readonly calls: number;
}

export interface Summary {
  readonly hours: readonly { readonly hour: number; readonly frequencyHz?: number; readonly calls: number }[];
  readonly kinds: readonly Counted[];
  readonly frequencies: readonly Counted[];
  readonly tests: readonly {
    readonly key?: number;
    readonly tried: number;
    readonly succeeded: number;
    readonly low: number;
    readonly high: number;
  }[];
  readonly stations: readonly {
    readonly identity: string;
    readonly name: string;
    readonly country?: string;
    readonly calls: number;
    readonly first?: number;
    readonly last?: number;
  }[];
  readonly places: readonly Call[];
  readonly inputs: readonly Level[];
  readonly events: readonly InputEvent[];
  /** Since when another program has held the log, so that nothing can be logged. */
  readonly heldSince?: number;
}

async function ask<Answer>(path: string): Promise<Answer> {
  const response = await fetch(path);
  if (!response.ok) {
    const { error } = (await response.json().catch(() => ({ error: response.statusText }))) as {
      error: string;
    };
    throw new Error(error);
  }
  return (await response.json()) as Answer;
}

/** What calls are looked for. */
export interface Search {
  readonly text: string;
  readonly kind: string;
  readonly frequency: string;
  readonly isSure: boolean;
}

/** Calls that fit, the latest first, those before one where it is named. */
export function askCalls(search: Search, before?: number): Promise<{ calls: Call[]; isAll: boolean }> {
  const query = new URLSearchParams({
    text: search.text,
    kind: search.kind,
    frequency: search.frequency,
    sure: search.isSure ? '1' : '',
    ...(before !== undefined && { before: String(before) }),
  });
  return ask(`data/calls?${query.toString()}`);
}

export const askCall = (id: number): Promise<WholeCall> => ask(`data/calls/${id}`);
export const askSummary = (): Promise<Summary> => ask('data/summary');

/** Told as it happens; gives what ends the listening. */
export function listen(told: {
  readonly call: (call: Call) => void;
  readonly other: () => void;
  readonly state: (isOpen: boolean) => void;
}): () => void {
  const stream = new EventSource('data/stream');
  stream.addEventListener('open', () => {
    told.state(true);
  });
  stream.addEventListener('error', () => {
    told.state(false);
  });
  stream.addEventListener('call', ({ data }) => {
    told.call(JSON.parse(String(data)) as Call);
  });
  for (const name of ['input', 'level', 'held']) stream.addEventListener(name, told.other);
  return () => {
    stream.close();
  };
}

/** `2031-05-17 09:30:00`, UTC. */
export const moment = (time: number) => new Date(time).toISOString().slice(0, 19).replace('T', ' ');

/** `8414.5 kHz`. */
export const frequency = (hz: number | undefined) =>
  hz === undefined ? '' : hz >= 30e6 ? `${(hz / 1e6).toFixed(3)} MHz` : `${(hz / 1000).toFixed(1)} kHz`;

/** The frequencies that a call was heard on. */
export const frequenciesOf = ({ sendings }: Pick<Call, 'sendings'>) =>
  new Set(sendings.map(({ frequencyHz }) => frequencyHz)).size;

/** `testCall` as `test call`. */
export const words = (kind: string) => kind.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);

export const isDistress = ({ kind }: Pick<Call, 'kind'>) =>
  /^(distress|ownAlert|relayAcknowledgement|irregularDistress)/.test(kind);
