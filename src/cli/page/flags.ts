/**
 * The options of a page that shows a log.
 */
import { isIP } from 'node:net';
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING } from '../../errors.js';
import { integerOption } from '../options.js';

/** What the options give. */
export interface PageFlags {
  readonly page?: true;
  readonly pagePort?: number;
  readonly pageAddress?: string;
  readonly pageToken?: string;
}

/** Where a page is served. */
export interface PagePlace {
  readonly port: number;
  readonly address: string;
  /** Who does not know it is shown nothing; undefined on this machine alone. */
  readonly token: string | undefined;
}

const DEFAULT_PORT = 8470;
const LOOPBACK = '127.0.0.1';
const SHORTEST_TOKEN = 16;

/** Gives a command the options of a page. */
export function addPageFlags(command: Command): Command {
  const add = (option: Option) => command.addOption(option.helpGroup('A page that shows it:'));
  add(
    new Option(
      '--page',
      `serve a page with calls, map, times and inputs on http://${LOOPBACK}:${DEFAULT_PORT}/`,
    ),
  );
  add(
    new Option('--page-port <number>', 'serve it on another port, 0 for any that is free').argParser(
      integerOption('--page-port', 0, 65_535),
    ),
  );
  add(
    new Option(
      '--page-address <ip>',
      'serve it on this address of the machine instead, to those who have the token',
    ),
  );
  add(
    new Option('--page-token <text>', `what they have to know: ${SHORTEST_TOKEN} characters or more`).env(
      'DOTPHASE_PAGE_TOKEN',
    ),
  );
  return command;
}

/**
 * Where the page shall be; undefined where none is asked for.
 *
 * @throws DotphaseError where others could read it without a token
 */
export function pagePlace({ page, pagePort, pageAddress, pageToken }: PageFlags): PagePlace | undefined {
  if (page === undefined) {
    if (pagePort !== undefined) throw new DotphaseError('--page-port', pagePort, '--page beside it');
    if (pageAddress !== undefined) throw new DotphaseError('--page-address', pageAddress, '--page beside it');
    return undefined;
  }
  const address = pageAddress ?? LOOPBACK;
  if (isIP(address) === 0)
    throw new DotphaseError(
      '--page-address',
      address,
      'an IP address of this machine, or 0.0.0.0 for all of them',
    );
  if (pageToken !== undefined && !/^[\w.~-]+$/.test(pageToken))
    throw new DotphaseError('--page-token', 'a token', 'letters, digits and . ~ _ - alone');
  if (pageToken !== undefined && pageToken.length < SHORTEST_TOKEN)
    throw new DotphaseError(
      '--page-token',
      `${pageToken.length} characters`,
      `${SHORTEST_TOKEN} characters or more`,
    );
  const isLoopback = address.startsWith('127.') || address === '::1';
  if (!isLoopback && pageToken === undefined)
    throw new DotphaseError('--page-token', NOTHING, `a token, since ${address} can be reached by others`);
  return { port: pagePort ?? DEFAULT_PORT, address, token: pageToken };
}
