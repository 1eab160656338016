/**
 * The log of calls made, sent and received.
 */
export {
  LOG_DIRECTIONS,
  TIME_SOURCES,
  callEntry,
  receivedEntry,
  type LogDirection,
  type LogEntry,
  type LogContext,
  type LoggedSending,
  type NewLogEntry,
  type TimeSource,
} from './entry.js';
export { logToCsv, logToJsonLines } from './export.js';
export { logEntries, type CallLog, type LogFilter, type LogOptions } from './log.js';
export { createMemoryLog } from './memory.js';
export {
  mayBeMultiFrequency,
  multiFrequencyAttemptOf,
  multiFrequencySendings,
  MULTI_FREQUENCY_MS,
  type MultiFrequencyFields,
} from './multifrequency.js';
export { attemptLogger, type AttemptLogger, type ReceivedForLog } from './reception.js';
export {
  ATTEMPT_MS,
  holdsSending,
  isReadBetter,
  isSameCall,
  sendingsOf,
  shareFrequency,
  withSending,
  type SendingFields,
} from './sendings.js';
export {
  logToGeoJson,
  logToKml,
  logToSentences,
  placesOf,
  ringsOf,
  type Place,
  type PlacesOfCall,
} from './places.js';
export { successOf, type Success } from './success.js';
