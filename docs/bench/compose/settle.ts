/**
 * What a change in one field brings to others, so that a form always makes sense.
 */
import { bandOf, identityKind, parseIdentity } from 'dotphase';
import {
  DISTRESS_FREQUENCIES,
  TELEPHONY_CHANNELS,
  maritimeBand,
  outlineCall,
  suggestFrequencies,
} from 'dotphase/frequencies';
import { addressForms, compose, type ChannelDraft, type Draft } from './draft.js';

/** Telephony of the other band, by name. */
const ON_VHF = { j3e: 'f3e' } as const;
const ON_MF_HF = { f3e: 'j3e', f3eDuplex: 'j3e' } as const;

function onBand<Name extends string>(mode: Name, dscHz: number): Name {
  const other: Readonly<Partial<Record<string, string>>> = bandOf(dscHz) === 'vhf' ? ON_VHF : ON_MF_HF;
  return (other[mode] ?? mode) as Name;
}

/** A simplex working frequency in the band of a DSC frequency, kHz; from MF one that carries further. */
function workingKHz(dscHz: number): string {
  const band = maritimeBand(dscHz);
  const row = TELEPHONY_CHANNELS.find(
    ({ shipHz, coastHz }) => shipHz === coastHz && maritimeBand(shipHz) === band,
  );
  return String((row?.shipHz ?? 4_146_000) / 1000);
}

function isToCoast({ addressForm, station }: Draft): boolean {
  if (addressForm !== 'station') return false;
  try {
    return identityKind(parseIdentity(station)).startsWith('coastStation');
  } catch {
    return false;
  }
}

/** Where a call of a kind proposes to go on: on its distress and safety frequency's voice partner, or a working channel. */
function proposal(draft: Draft): ChannelDraft {
  // The coast station names the working channel (NAVCEN).
  if (isToCoast(draft)) return { ...draft.receive, form: 'none' };
  const { kind, dscHz } = draft;
  const isMessage = kind.startsWith('urgency') || kind.startsWith('safety');
  if (bandOf(dscHz) === 'vhf') return { ...draft.receive, form: 'vhf', text: isMessage ? '16' : '72' };
  const partner = DISTRESS_FREQUENCIES.find((row) => row.dscHz === dscHz)?.voiceHz;
  const text = isMessage && partner !== undefined ? String(partner / 1000) : workingKHz(dscHz);
  return { ...draft.receive, form: 'frequency', text };
}

function onSuitedFrequency(draft: Draft): Draft {
  const { call } = compose(draft);
  if (!call) return draft;
  const suited = suggestFrequencies(outlineCall(call)).map(({ frequency }) => frequency);
  if (suited.length === 0 || suited.some(({ hz }) => hz === draft.dscHz)) return draft;
  const isVhf = bandOf(draft.dscHz) === 'vhf';
  return { ...draft, dscHz: (suited.find(({ band }) => (band === 'VHF') === isVhf) ?? suited[0]).hz };
}

/** A draft with some fields changed, and what follows from that. */
export function settle(before: Draft, part: Partial<Draft>): Draft {
  let draft = { ...before, ...part };
  if (draft.kind !== before.kind) {
    const forms = addressForms(draft.kind);
    if (forms.length > 0 && !forms.includes(draft.addressForm)) draft.addressForm = forms[0];
    if (draft.kind !== 'distressAlert') draft.sendings = 1;
  }
  const isOther = draft.kind !== before.kind || isToCoast(draft) !== isToCoast(before);
  if (isOther && part.dscHz === undefined) draft = onSuitedFrequency(draft);
  if (!isOther && draft.dscHz === before.dscHz) return draft;
  const isProposed = part.receive !== undefined || part.transmit !== undefined;
  return {
    ...draft,
    followOn: onBand(draft.followOn, draft.dscHz),
    telecommand1: onBand(draft.telecommand1, draft.dscHz),
    ...(!isProposed && { receive: proposal(draft), transmit: { ...draft.transmit, form: 'none' as const } }),
  };
}
