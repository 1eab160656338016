/**
 * Records: an address book, and the log of calls sent and received. The durable log stands by itself in
 * `dotphase/records/sqlite`; everything here runs in a browser.
 *
 * @example
 * ```ts
 * import { callEntry, createMemoryLog } from 'dotphase/records';
 *
 * const log = createMemoryLog({ clock: Date.now });
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * log.add(callEntry(call, { direction: 'sent', frequencyHz: 2_187_500 }));
 * console.log(log.list({ identity: '002991234' }).length); // 1
 * ```
 *
 * @packageDocumentation
 */
export {
  addressBookFromCsv,
  addressBookFromJson,
  addressBookSchema,
  addressBookToCsv,
  addressBookToJson,
  createAddressBook,
  type AddressBook,
  type AddressBookEntry,
  type NewAddressBookEntry,
} from './addressbook/index.js';
export {
  ATTEMPT_MS,
  LOG_DIRECTIONS,
  MULTI_FREQUENCY_MS,
  TIME_SOURCES,
  attemptLogger,
  callEntry,
  createMemoryLog,
  holdsSending,
  isReadBetter,
  isSameCall,
  logEntries,
  logToCsv,
  logToGeoJson,
  logToJsonLines,
  logToKml,
  logToSentences,
  mayBeMultiFrequency,
  multiFrequencyAttemptOf,
  multiFrequencySendings,
  placesOf,
  receivedEntry,
  ringsOf,
  sendingsOf,
  shareFrequency,
  successOf,
  withSending,
  type AttemptLogger,
  type CallLog,
  type LogContext,
  type LogDirection,
  type LogEntry,
  type LogFilter,
  type LogOptions,
  type LoggedSending,
  type MultiFrequencyFields,
  type NewLogEntry,
  type Place,
  type PlacesOfCall,
  type ReceivedForLog,
  type SendingFields,
  type Success,
  type TimeSource,
} from './log/index.js';
