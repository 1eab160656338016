/**
 * Who the person at the command line is, where, and whom they know: from a settings file and flags.
 */
import { Option, type Command } from 'commander';
import {
  describeIdentity,
  formatPosition,
  parseIdentity,
  parsePosition,
  type Identity,
} from '../../calls/index.js';
import type { DotphaseError } from '../../errors.js';
import { createOwnPosition, type OwnPosition, type PositionForCall } from '../../navigation/index.js';
import { type AddressBook } from '../../records/index.js';
import { readBook } from './book.js';
import { readNavigation } from './navigation.js';
import { readSettings, type Settings } from './settings.js';

/** The flags of {@link addProfileFlags}. */
export interface ProfileFlags {
  readonly settings?: string;
  readonly book?: string;
  readonly navigation?: string;
}

/** Adds the flags that say who, where and whom. */
export function addProfileFlags(command: Command, options: { readonly position: boolean }): Command {
  const add = (flag: string, help: string, variable: string) =>
    command.addOption(new Option(flag, help).env(variable).helpGroup('Who and where you are:'));
  add(
    '--settings <file>',
    'JSON file with any of identity, position, positionTime, navigation, book and log',
    'DOTPHASE_SETTINGS',
  );
  add(
    '--book <file>',
    'address book, JSON or CSV: its names may be typed for identities, and are shown',
    'DOTPHASE_BOOK',
  );
  if (options.position) {
    add(
      '--navigation <file>',
      'RMC, GGA or GLL sentences that the own position comes from: a file, a device or - for standard input',
      'DOTPHASE_NAVIGATION',
    );
  }
  return command;
}

/** An own position and how it came about, for the person to see. */
export interface ToldPosition extends PositionForCall {
  readonly told: string;
}

/** The person at the command line. */
export interface Profile {
  /** The own identity, where set. */
  readonly identity: Identity | undefined;
  /** The log to write into, where set. */
  readonly log: string | undefined;
  /** The file or device of sentences, where set. */
  readonly navigation: string | undefined;
  /** The identity that a person typed: nine digits, or a name in the address book. */
  station(typed: string): Identity;
  /** An identity for people, with its name where the address book has one. */
  describe(identity: Identity): string;
  /** The DSC frequencies that the address book has for an identity, hertz. */
  frequencies(identity: Identity): readonly number[];
  /** The own position as it stands in the settings, to which sentences may be pushed. */
  createPosition(onRefused?: (error: DotphaseError) => void): OwnPosition;
  /** The own position for a call, from sentences or the settings; undefined where neither is set. */
  position(): Promise<ToldPosition | undefined>;
}

function minutes(milliseconds: number): string {
  const count = Math.round(milliseconds / 60_000);
  return count < 120 ? `${count} min` : `${(milliseconds / 3_600_000).toFixed(1)} h`;
}

/** Says in a sentence whether a position goes into a call, and why not. */
function tellPosition(ownPosition: OwnPosition): string {
  const known = ownPosition.latest();
  if (!known) return 'Profile position: none, so that none is sent.';
  const { position, source, ageMs } = known;
  const from = source === 'entered' ? 'the settings' : `${source} sentences`;
  const age = ageMs < -60_000 ? `valid only in ${minutes(-ageMs)}` : `${minutes(Math.max(0, ageMs))} old`;
  const text = `Profile position: ${formatPosition(position)} from ${from}, ${age}`;
  if (ownPosition.forCall().position !== 'none') return `${text}.`;
  return `${text}: not sent, as a position older than 23.5 h is not sent as a position (M.493).`;
}

class SettledProfile implements Profile {
  readonly identity: Identity | undefined;
  readonly log: string | undefined;
  readonly navigation: string | undefined;

  constructor(
    private readonly settings: Settings,
    private readonly book: AddressBook | undefined,
    navigation: string | undefined,
  ) {
    this.navigation = navigation ?? settings.navigation;
    this.log = settings.log;
    this.identity = settings.identity === undefined ? undefined : this.station(settings.identity);
  }

  station(typed: string): Identity {
    return this.book ? this.book.resolve(typed) : parseIdentity(typed);
  }

  describe(identity: Identity): string {
    return this.book ? this.book.describe(identity) : describeIdentity(identity);
  }

  frequencies(identity: Identity): readonly number[] {
    return this.book?.byIdentity(identity)?.frequencies ?? [];
  }

  createPosition(onRefused?: (error: DotphaseError) => void): OwnPosition {
    const ownPosition = createOwnPosition({ clock: Date.now, ...(onRefused && { onRefused }) });
    const { position, positionTime } = this.settings;
    const entered = position === undefined ? 'none' : parsePosition(position);
    if (entered !== 'none')
      ownPosition.enter(entered, positionTime === undefined ? Date.now() : Date.parse(positionTime));
    return ownPosition;
  }

  async position(): Promise<ToldPosition | undefined> {
    if (this.navigation === undefined && this.settings.position === undefined) return undefined;
    let refused = 0;
    const ownPosition = this.createPosition(() => refused++);
    if (this.navigation !== undefined) await readNavigation(this.navigation, ownPosition);
    const damaged = refused > 0 ? ` Damaged sentences passed over: ${refused}.` : '';
    return { ...ownPosition.forCall(), told: `${tellPosition(ownPosition)}${damaged}` };
  }
}

/**
 * The person at the command line by the flags that were given.
 *
 * @throws DotphaseError when a file cannot be read or is wrong
 */
export async function profileOf(flags: ProfileFlags): Promise<Profile> {
  const settings = flags.settings === undefined ? {} : await readSettings(flags.settings);
  const path = flags.book ?? settings.book;
  return new SettledProfile(
    settings,
    path === undefined ? undefined : await readBook(path),
    flags.navigation,
  );
}
