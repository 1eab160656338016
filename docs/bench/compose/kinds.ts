/**
 * The kinds of call in plain words, grouped as people look for them.
 */
import { callLayouts, FORMATS, type FormatName, type TableKind } from 'dotphase';

/** What the audio of a kind would claim on the air; undefined for routine calls. */
export type Priority = 'distress' | 'urgency' | 'safety' | undefined;

export interface KindText {
  readonly kind: TableKind;
  /** What a person wants to do with it. */
  readonly wish: string;
  /** The name of the trade. */
  readonly name: string;
  readonly priority: Priority;
}

export interface KindGroup {
  readonly title: string;
  readonly kinds: readonly KindText[];
}

const group = (
  title: string,
  ...rows: readonly (readonly [TableKind, wish: string, name: string, priority?: Priority])[]
): KindGroup => ({
  title,
  kinds: rows.map(([kind, wish, name, priority]) => ({ kind, wish, name, priority })),
});

export const KIND_GROUPS: readonly KindGroup[] = [
  group(
    'Test and position',
    ['testCall', 'Test whether a station answers', 'test call', 'safety'],
    ['testAcknowledgement', 'Answer a test call', 'test acknowledgement', 'safety'],
    ['positionRequest', 'Ask a vessel where she is', 'position request', 'safety'],
    ['positionReport', 'Answer with the position', 'position report', 'safety'],
    ['pollingRequest', 'Ask whether a vessel is in range', 'polling request'],
    ['pollingReply', 'Answer that the vessel is in range', 'polling reply'],
  ),
  group(
    'Routine',
    ['routineCall', 'Call a station or a group', 'routine call'],
    ['routineAcknowledgement', 'Answer a routine call', 'routine acknowledgement'],
    ['automaticCall', 'Dial a telephone number through a coast station', 'automatic-service call'],
    ['automaticAcknowledgement', 'Answer a call for a telephone number', 'automatic-service acknowledgement'],
  ),
  group(
    'Urgency and safety',
    ['urgencyCall', 'Call with urgency', 'urgency call', 'urgency'],
    ['urgencyAcknowledgement', 'Answer an urgency call', 'urgency acknowledgement', 'urgency'],
    ['safetyCall', 'Announce safety information', 'safety call', 'safety'],
    ['safetyAcknowledgement', 'Answer a safety call', 'safety acknowledgement', 'safety'],
  ),
  group(
    'Distress',
    ['distressAlert', 'Alert everyone: this vessel is in distress', 'distress alert', 'distress'],
    ['distressAcknowledgement', 'Acknowledge a distress alert', 'distress acknowledgement', 'distress'],
    ['ownAlertCancellation', 'Cancel this vessel’s own false alert', 'own-alert cancellation', 'distress'],
    ['distressRelay', 'Pass on the distress of another vessel', 'distress relay', 'distress'],
    ['relayAcknowledgement', 'Acknowledge a relayed distress', 'relay acknowledgement', 'distress'],
  ),
];

const TEXTS = new Map(KIND_GROUPS.flatMap(({ kinds }) => kinds.map((text) => [text.kind, text] as const)));

export function kindText(kind: TableKind): KindText {
  const text = TEXTS.get(kind);
  if (!text) throw new Error(`no words for ${kind}`);
  return text;
}

/** Every kind that has words here. */
export const WORDED_KINDS: readonly TableKind[] = [...TEXTS.keys()];

let formats: ReadonlyMap<TableKind, readonly FormatName[]> | undefined;

/** The format specifiers that a kind can be sent with, as the tables have them. */
export function kindFormats(kind: TableKind): readonly FormatName[] {
  formats ??= readFormats();
  return formats.get(kind) ?? [];
}

function readFormats(): ReadonlyMap<TableKind, readonly FormatName[]> {
  const found = new Map<TableKind, Set<FormatName>>();
  for (const { kind, positions } of callLayouts()) {
    const names = found.get(kind) ?? new Set<FormatName>();
    const word = FORMATS.words.find(({ symbol }) => positions[0]?.[symbol] === 1);
    if (word) names.add(word.name);
    found.set(kind, names);
  }
  return new Map([...found].map(([kind, names]) => [kind, [...names]]));
}
