/**
 * The rules that the procedures follow, each with where it comes from and how sure that is. Where a readable text
 * confirmed a rule, that text is named: M541-8 (ITU-R M.541-8 Annexes 1 and 2), FCC80 (47 CFR Part 80), C25 (IMO
 * COMSAR/Circ.25, superseded by MSC.1/Circ.1657 from 2024), JP567 (Japan, Notification 567 of 1990), NAVCEN (US Coast
 * Guard Navigation Center). The rest is from memory, or common practice without a source.
 */

/** A rule with where it comes from and how sure that is. */
export interface Rule {
  /** The rule in a sentence. */
  readonly text: string;
  /** The publication and section, or `common practice, no source`. */
  readonly source: string;
  /**
   * `established`: confirmed by a readable text, or well known; `likely`: remembered, not cross-checked; `uncertain`:
   * editions differ or memory is weak; `practice`: common practice, no source.
   */
  readonly certainty: 'established' | 'likely' | 'uncertain' | 'practice';
}

const PRACTICE = 'common practice, no source';
const ALERT = 'M541-8 Annex 1 §3.1';
const ACKNOWLEDGEMENT = 'M541-8 Annex 1 §3.3';
const SHIPS = 'ITU-R M.541 Annex 3 (from memory)';
const COAST_STATIONS = 'ITU-R M.541 Annex 2 (from memory)';

/** Every rule by its name. */
export const RULES = {
  singleFrequency: {
    text: 'A distress attempt on one frequency is five calls in a row without a gap, each with its dot pattern: 36.0 s on MF and HF.',
    source: `${ALERT}.3.1; JP567`,
    certainty: 'established',
  },
  multiFrequency: {
    text: 'A distress attempt on several frequencies is one call on each of up to six, done within a minute; VHF may be sent at the same time.',
    source: `${ALERT}.3.2`,
    certainty: 'established',
  },
  repetition: {
    text: 'The attempt is repeated after a random 3.5 to 4.5 minutes, counted from its beginning, until it is acknowledged.',
    source: `${ALERT}.3.1`,
    certainty: 'established',
  },
  repetitionByHand: {
    text: 'The automatic repetition can be overridden by hand.',
    source: `${ALERT}.3.1`,
    certainty: 'established',
  },
  transmitterFailed: {
    text: 'An alert that did not go out is told at once and tried again a second later.',
    source: PRACTICE,
    certainty: 'practice',
  },
  soundPosition: {
    text: 'A position or a time that cannot be one is not taken: the last good one stands, and an alert goes out without a position rather than not at all.',
    source: PRACTICE,
    certainty: 'practice',
  },
  acknowledgementEndsRepetition: {
    text: 'A distress acknowledgement received by DSC ends the repetition of the alert.',
    source: `${ACKNOWLEDGEMENT}.5`,
    certainty: 'established',
  },
  stopped: {
    text: 'The operator may stop the repetition; an alert that was not meant must be cancelled besides.',
    source: 'ITU-R M.541 Annex 3 §1.7 (from memory)',
    certainty: 'likely',
  },
  selfCancel: {
    text: 'A false alert is cancelled by an acknowledgement of oneself on every frequency that the alert went out on.',
    source: 'FCC80 §80.335; ITU-R M.493 §8.6 and M.541 Annex 3 §1.7 (from memory)',
    certainty: 'established',
  },
  cancelByVoice: {
    text: 'Then it is cancelled by voice on the telephony distress frequency of each of them: all stations three times, the name of the ship three times, call sign, identity and position; and watch is kept there.',
    source: 'FCC80 §80.335; Radio Regulations 32.53A to 32.53F (from memory)',
    certainty: 'established',
  },
  distressTraffic: {
    text: 'Distress traffic follows on the telephony distress frequency of the same band: set watch there.',
    source: 'FCC80 §80.1077; ITU-R M.541 Annex 5 (from memory)',
    certainty: 'established',
  },
  distressFirst: {
    text: 'A distress alert goes before every other call and breaks off what is being sent.',
    source: 'ITU-R M.493 Annex 1 and Radio Regulations Article 53 (from memory)',
    certainty: 'likely',
  },
  coastAcknowledges: {
    text: 'Distress alerts are acknowledged by coast stations, by hand, on the frequency they came on.',
    source: `${ACKNOWLEDGEMENT}.1`,
    certainty: 'established',
  },
  coastWaits: {
    text: 'On MF and HF a coast station waits at least 1 minute after the alert and normally acknowledges within 2 3/4 minutes.',
    source: `${ACKNOWLEDGEMENT}.2`,
    certainty: 'established',
  },
  coastAtOnce: {
    text: 'On VHF a coast station acknowledges as soon as practicable.',
    source: `${ACKNOWLEDGEMENT}.2`,
    certainty: 'established',
  },
  afterTheAttempt: {
    text: 'An acknowledgement waits for the end of the attempt and a free frequency: a ship that is sending hears nothing.',
    source: PRACTICE,
    certainty: 'practice',
  },
  stillRepeated: {
    text: 'An alert that comes again after its acknowledgement was not acknowledged in the ears of its sender: it is acknowledged anew.',
    source: PRACTICE,
    certainty: 'practice',
  },
  acknowledgedAlready: {
    text: 'A coast station has acknowledged the alert: nobody else acknowledges or relays it by DSC unless it comes again.',
    source: 'C25 §2; ITU-R M.541 Annex 3 §1 (from memory)',
    certainty: 'likely',
  },
  shipListens: {
    text: 'A ship that receives an alert on VHF or MF sets watch on the voice frequency, leaves the DSC acknowledgement to coast stations and acknowledges by voice after a short while.',
    source: `${ACKNOWLEDGEMENT}.4; FCC80 §80.1121`,
    certainty: 'established',
  },
  shipConsults: {
    text: 'A ship acknowledges by DSC on VHF or MF only after consultation with, or on the advice of, a coast station or rescue centre.',
    source: 'FCC80 §80.1117(a) and §80.1121(d); C25',
    certainty: 'established',
  },
  shipNeverOnHf: {
    text: 'A ship does not acknowledge an HF alert by DSC: it listens on the HF distress frequencies and relays if no coast station acknowledges.',
    source: 'FCC80 §80.1121(c); Radio Regulations 32.31 (from memory)',
    certainty: 'established',
  },
  hfRelay: {
    text: 'An HF alert that no coast station acknowledges within 5 minutes is relayed, and only to a coast station.',
    source: 'C25, citing ITU-R M.541; FCC80 §80.1121(c)',
    certainty: 'established',
  },
  noRelayOnVhfOrMf: {
    text: 'A ship that receives an alert on VHF or MF does not relay it by DSC, unless the casualty cannot alert by itself and the master finds further help necessary: then to a coast station or to all ships.',
    source: 'FCC80 §80.1117(a) and §80.1121(b); C25 §2.3',
    certainty: 'established',
  },
  relayOnBehalf: {
    text: 'A relay for a casualty that cannot alert by itself is sent when the master finds further help necessary.',
    source: 'FCC80 §80.1117(a); C25 §2.3; Radio Regulations 32.16 to 32.19 (from memory)',
    certainty: 'established',
  },
  relayToCoast: {
    text: 'A ship sends a relay to a coast station unless the operator names other addressees.',
    source: 'C25 §2.3; FCC80 §80.1121(c)',
    certainty: 'established',
  },
  relayNotAgain: {
    text: 'A ship does not relay a relay: who sent it has told the others.',
    source: PRACTICE,
    certainty: 'practice',
  },
  coastRelays: {
    text: 'A coast station relays an alert to ships when it needs their help: to all ships on VHF, to an area or to single ships on MF and HF.',
    source: `${COAST_STATIONS}; Radio Regulations 32.16 (from memory)`,
    certainty: 'likely',
  },
  relayOnce: {
    text: 'A distress relay is started by hand and sent as one call on one frequency.',
    source: 'ITU-R M.541 Annex 1 §3.4.2 and M.493 §8.4 (from memory)',
    certainty: 'established',
  },
  relayByVoice: {
    text: 'A relay to many stations is not acknowledged by DSC from ships: set watch on the voice frequency and acknowledge there.',
    source: `ITU-R M.541 Annex 1 §3.4 and Annex 3 §1.4 (from memory)`,
    certainty: 'likely',
  },
  relayAcknowledged: {
    text: 'A relay is acknowledged by DSC, by hand, by the station it is addressed to; a relay to many by a ship, by a coast station.',
    source: 'ITU-R M.493 §8.2 and Table A1-4.4, M.541 Annex 1 §3.4 (from memory)',
    certainty: 'likely',
  },
  notAddressed: {
    text: 'A call that is addressed to another station is not answered.',
    source: 'ITU-R M.541 Annex 1 §4 and M.493 §5 (from memory)',
    certainty: 'established',
  },
  tellCoast: {
    text: 'A ship tells a coast station, by any means, of an alert on VHF or MF that no coast station acknowledges within 5 minutes, and of every alert that a ship alone acknowledged.',
    source: 'FCC80 §80.1121(b); C25 §2.3',
    certainty: 'established',
  },
  alertCancelled: {
    text: 'The ship itself took its alert back: nothing more is sent about it unless it calls again.',
    source: 'FCC80 §80.335; ITU-R M.541 Annex 3 §1.7 (from memory)',
    certainty: 'likely',
  },
  notToMany: {
    text: 'A call to more than one station is not acknowledged: its receivers set watch where it says.',
    source: `${SHIPS} §2 and §3`,
    certainty: 'established',
  },
  announced: {
    text: 'Urgency and safety messages are announced by DSC and then spoken where the announcement says.',
    source: `${SHIPS} §2 and §3`,
    certainty: 'established',
  },
  individualAcknowledged: {
    text: 'An individual call asks for an acknowledgement, which repeats its content when the called station can comply.',
    source: 'M541-8 Annex 1 §4; ITU-R M.493 Tables A1-4.6 to A1-4.8 (from memory)',
    certainty: 'established',
  },
  coastAnswers: {
    text: 'A coast station acknowledges a call after at least 5 seconds and within 4 1/2 minutes.',
    source: COAST_STATIONS,
    certainty: 'likely',
  },
  acknowledgementItself: {
    text: 'An acknowledgement is not acknowledged.',
    source: 'ITU-R M.493 Tables A1-4.1 to A1-4.10 (from memory)',
    certainty: 'established',
  },
  unable: {
    text: 'A station that cannot comply says so with telecommand 104 and gives the reason in the second telecommand.',
    source: 'JP567; ITU-R M.541 Annex 3 §4 and M.493 §8.3 (from memory)',
    certainty: 'established',
  },
  otherChannel: {
    text: 'A station that can comply but not there names another working frequency in its acknowledgement.',
    source: `${SHIPS} §4`,
    certainty: 'established',
  },
  coastNamesChannel: {
    text: 'A call to a coast station proposes no working channel: the coast station names it in its acknowledgement.',
    source: 'NAVCEN',
    certainty: 'established',
  },
  complete: {
    text: 'A test, a polling and a position request are complete with their acknowledgement: nothing follows by voice.',
    source: 'M541-8 Annex 1; ITU-R M.493 §8.5 and M.541 Annex 3 §5 (from memory)',
    certainty: 'established',
  },
  automatic: {
    text: 'Test calls, polling and position requests may be answered automatically where the operator allows it.',
    source: 'ITU-R M.493 Annex 1 and M.541 Annex 3 §5 (from memory)',
    certainty: 'likely',
  },
  neverAutomatic: {
    text: 'Distress alerts and relays are acknowledged by hand only.',
    source: ACKNOWLEDGEMENT,
    certainty: 'established',
  },
  acknowledgementWait: {
    text: 'About 60 seconds are allowed for the acknowledgement of a test, safety or urgency call; then it may be sent again.',
    source: PRACTICE,
    certainty: 'practice',
  },
  routineWait: {
    text: 'A ship may repeat a routine call when no acknowledgement came within 5 minutes; further attempts wait at least 15 minutes.',
    source: `${SHIPS} §4.2`,
    certainty: 'likely',
  },
  coastRepeats: {
    text: 'A coast station may call a ship twice, at least 45 seconds apart, then again after 15 minutes, and at most five times in 24 hours.',
    source: COAST_STATIONS,
    certainty: 'likely',
  },
  answerLimit: {
    text: 'A call that was not answered within 5 minutes is left alone: its sender has stopped waiting.',
    source: PRACTICE,
    certainty: 'practice',
  },
  listenFirst: {
    text: 'Other than distress alerts, a call waits until its frequency is free.',
    source: 'ITU-R M.493 Annex 1 and M.541 Annex 1 §4 (from memory)',
    certainty: 'likely',
  },
  distressPatience: {
    text: 'An own distress alert waits at most a second for its frequency to become free; an acknowledgement and a relay wait as other calls do.',
    source: 'ITU-R M.493 Annex 1 (from memory)',
    certainty: 'uncertain',
  },
  matching: {
    text: 'An acknowledgement belongs to the call of its kind that was sent to its sender and not long ago.',
    source: PRACTICE,
    certainty: 'practice',
  },
  onlyWhatWasReceived: {
    text: 'Nothing is acknowledged that was not received, and no acknowledgement counts for what was not sent.',
    source: 'M541-8 Annex 1 §3.3 and §4',
    certainty: 'established',
  },
  doubtful: {
    text: 'A call that was read with doubt, or not whole, is shown and never acted upon: no answer goes out and no alert falls silent on its word.',
    source: PRACTICE,
    certainty: 'practice',
  },
  onlyWhatIsOffered: {
    text: 'An exchange goes on only in the ways its present state allows.',
    source: PRACTICE,
    certainty: 'practice',
  },
  irregular: {
    text: 'A sequence that the call tables do not allow is shown and not answered.',
    source: PRACTICE,
    certainty: 'practice',
  },
  noDirectPrinting: {
    text: 'Direct printing is no longer required in the GMDSS: it is read and sent where asked for, and never recommended.',
    source: 'IMO MSC.496(105), in force 2024',
    certainty: 'established',
  },
  memory: {
    text: 'When too many exchanges are remembered, finished ones go first; what is still open is forgotten last, and that is told.',
    source: PRACTICE,
    certainty: 'practice',
  },
  operator: {
    text: 'The operator decides.',
    source: PRACTICE,
    certainty: 'practice',
  },
} as const satisfies Readonly<Record<string, Rule>>;

/** Name of a rule. */
export type RuleName = keyof typeof RULES;
