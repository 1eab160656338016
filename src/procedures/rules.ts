/**
 * The rules that the procedures follow: ITU-R M.541 Annexes 1 to 3, ITU-R M.493 Annex 1 and the Radio Regulations
 * Chapter VII (all from memory), and common practice where no source is known.
 */

/** A rule with where it comes from and how sure that is. */
export interface Rule {
  /** The rule in a sentence. */
  readonly text: string;
  /** The publication and section, or `common practice, no source`. */
  readonly source: string;
  /**
   * `established`: well known; `likely`: remembered, not cross-checked; `uncertain`: editions differ or memory is
   * weak; `practice`: common practice, no source.
   */
  readonly certainty: 'established' | 'likely' | 'uncertain' | 'practice';
}

const PRACTICE = 'common practice, no source';
const ALERT = 'ITU-R M.541 Annex 1 §3.1 (from memory)';
const ACKNOWLEDGEMENT = 'ITU-R M.541 Annex 1 §3.3 (from memory)';
const RELAY = 'ITU-R M.541 Annex 1 §3.4 (from memory)';
const SHIPS = 'ITU-R M.541 Annex 3 (from memory)';

/** Every rule by its name. */
export const RULES = {
  singleFrequency: {
    text: 'A distress attempt on one frequency is five calls in a row without a gap.',
    source: `${ALERT}, §3.1.3.1`,
    certainty: 'established',
  },
  multiFrequency: {
    text: 'A distress attempt on several frequencies is one call on each of up to six, done within a minute; VHF may be sent at the same time.',
    source: `${ALERT}, §3.1.3.2`,
    certainty: 'established',
  },
  repetition: {
    text: 'The attempt is repeated after a random 3.5 to 4.5 minutes, counted from its beginning, until it is acknowledged.',
    source: `${ALERT}, §3.1.3.1`,
    certainty: 'established',
  },
  repetitionByHand: {
    text: 'The automatic repetition can be overridden by hand.',
    source: `${ALERT}, §3.1.3.1`,
    certainty: 'established',
  },
  acknowledgementEndsRepetition: {
    text: 'A distress acknowledgement received by DSC ends the repetition of the alert.',
    source: `${ACKNOWLEDGEMENT}, §3.3.5`,
    certainty: 'established',
  },
  stopped: {
    text: 'The operator may stop the repetition; an alert that was not meant must be cancelled besides.',
    source: `${ALERT}, §3.1.5`,
    certainty: 'likely',
  },
  selfCancel: {
    text: 'A false alert is cancelled by an acknowledgement of oneself on every frequency that the alert went out on.',
    source: `${ALERT}, §3.1.5.1`,
    certainty: 'established',
  },
  cancelByVoice: {
    text: 'Then it is cancelled by voice on the telephony distress frequency of each of them, and watch is kept there.',
    source: `${ALERT}, §3.1.5.2 and §3.1.5.3`,
    certainty: 'established',
  },
  distressTraffic: {
    text: 'Distress traffic follows on the telephony distress frequency of the same band: set watch there.',
    source: 'ITU-R M.541 Annex 3 §1 and Annex 4 (from memory)',
    certainty: 'established',
  },
  distressFirst: {
    text: 'A distress alert goes before every other call and breaks off what is being sent.',
    source: 'ITU-R M.493 Annex 1 and Radio Regulations Article 53 (from memory)',
    certainty: 'likely',
  },
  coastAcknowledges: {
    text: 'Distress alerts are acknowledged by coast stations, by hand, on the frequency they came on.',
    source: `${ACKNOWLEDGEMENT}, §3.3.1`,
    certainty: 'established',
  },
  coastWaits: {
    text: 'On MF and HF a coast station waits at least 1 minute after the alert and normally acknowledges within 2 3/4 minutes.',
    source: `${ACKNOWLEDGEMENT}, §3.3.2`,
    certainty: 'established',
  },
  coastAtOnce: {
    text: 'On VHF a coast station acknowledges as soon as practicable.',
    source: `${ACKNOWLEDGEMENT}, §3.3.2`,
    certainty: 'established',
  },
  shipListens: {
    text: 'A ship that receives an alert on VHF or MF sets watch on the voice frequency, leaves the DSC acknowledgement to coast stations and acknowledges by voice after a short while.',
    source: `${ACKNOWLEDGEMENT}, §3.3.4; Annex 3 §1.2`,
    certainty: 'established',
  },
  shipAcknowledgesLast: {
    text: 'A ship acknowledges by DSC on VHF or MF only when the alert goes on and no coast station has answered it for 5 minutes, or when a coast station or rescue centre directs it, and then tells a coast station.',
    source: `${SHIPS} §1.2; the 5 minutes from IMO COMSAR/Circ.25 (from memory)`,
    certainty: 'likely',
  },
  shipNeverOnHf: {
    text: 'A ship does not acknowledge an HF alert by DSC: it listens on the HF distress frequencies and relays if no coast station acknowledges.',
    source: 'Radio Regulations 32.31 (from memory)',
    certainty: 'established',
  },
  hfRelay: {
    text: 'An HF alert that no coast station acknowledges within 5 minutes is relayed, and only to a coast station.',
    source: 'Radio Regulations 32.31; older editions of ITU-R M.541 say 3 minutes (from memory)',
    certainty: 'uncertain',
  },
  relayUnacknowledged: {
    text: 'An alert that nobody acknowledges within 5 minutes may be relayed, as may that of a ship which cannot send itself.',
    source: 'Radio Regulations 32.16 to 32.19 (from memory)',
    certainty: 'likely',
  },
  relayOnce: {
    text: 'A distress relay is started by hand and sent as one call on one frequency.',
    source: `${RELAY}, §3.4.2`,
    certainty: 'established',
  },
  relayByVoice: {
    text: 'A relay to many stations is not acknowledged by DSC from ships: set watch on the voice frequency and acknowledge there.',
    source: `${RELAY}; Annex 3 §1.4`,
    certainty: 'likely',
  },
  relayAcknowledged: {
    text: 'A relay to one station is acknowledged by DSC, by hand; a coast station so acknowledges the relay of any ship.',
    source: `${RELAY}; ITU-R M.493 Table A1-4.4 (from memory)`,
    certainty: 'likely',
  },
  tellCoast: {
    text: 'A ship that alone acknowledged an alert tells a coast station by any means.',
    source: `${SHIPS} §1.2`,
    certainty: 'established',
  },
  alertCancelled: {
    text: 'The ship itself took its alert back: nothing more is sent about it unless it calls again.',
    source: `${ALERT}, §3.1.5`,
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
    source: 'ITU-R M.541 Annex 1 §4 and ITU-R M.493 Tables A1-4.6 to A1-4.8 (from memory)',
    certainty: 'established',
  },
  unable: {
    text: 'A station that cannot comply says so with telecommand 104 and gives the reason in the second telecommand.',
    source: 'ITU-R M.541 Annex 3 §4 and ITU-R M.493 Table A1-3 (from memory)',
    certainty: 'established',
  },
  otherChannel: {
    text: 'A station that can comply but not there names another working frequency in its acknowledgement.',
    source: `${SHIPS} §4`,
    certainty: 'established',
  },
  complete: {
    text: 'A test, a polling and a position request are complete with their acknowledgement: nothing follows by voice.',
    source: 'ITU-R M.541 Annex 1 and Annex 3 §5 (from memory)',
    certainty: 'established',
  },
  automatic: {
    text: 'Test calls, polling and position requests may be answered automatically where the operator allows it.',
    source: 'ITU-R M.493 Annex 1 and ITU-R M.541 Annex 3 §5 (from memory)',
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
    text: 'A routine call may be repeated when no acknowledgement came within 5 minutes; further attempts wait at least 15 minutes.',
    source: `${SHIPS} §4.2`,
    certainty: 'likely',
  },
  answerLimit: {
    text: 'A call that was not answered within 5 minutes is left alone: its sender has stopped waiting.',
    source: PRACTICE,
    certainty: 'practice',
  },
  listenFirst: {
    text: 'Other than distress calls, a call waits until its frequency is free.',
    source: 'ITU-R M.493 Annex 1 and ITU-R M.541 Annex 1 §4 (from memory)',
    certainty: 'likely',
  },
  distressPatience: {
    text: 'A distress call waits at most a second for its frequency to become free.',
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
    source: 'ITU-R M.541 Annex 1 §3.3 and §4 (from memory)',
    certainty: 'established',
  },
  doubtful: {
    text: 'A call that was read with doubt is shown and never acted upon: no answer goes out and no alert falls silent on its word.',
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
  operator: {
    text: 'The operator decides.',
    source: PRACTICE,
    certainty: 'practice',
  },
} as const satisfies Readonly<Record<string, Rule>>;

/** Name of a rule. */
export type RuleName = keyof typeof RULES;
