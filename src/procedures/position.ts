/**
 * The own position as it is given to a station. A bad value is ignored, so that it never blocks an alert.
 */
import type { Position, TimeOfDay } from '../calls/index.js';
import type { StepContext } from './stepcontext.js';

function isDegrees(value: unknown, most: number): boolean {
  return typeof value === 'number' && Math.abs(value) <= most;
}

/** Whether a value is a position in degrees, or `none`. */
export function isSoundPosition(value: unknown): value is Position | 'none' {
  if (value === 'none') return true;
  if (typeof value !== 'object' || value === null) return false;
  const { latitude, longitude } = value as Partial<Position>;
  return isDegrees(latitude, 90) && isDegrees(longitude, 180);
}

/** Whether a value is a time of day as HH:MM, or `none`. */
export function isSoundTime(value: unknown): value is TimeOfDay | 'none' {
  return value === 'none' || (typeof value === 'string' && /^([01]\d|2[0-3]):[0-5]\d$/.test(value));
}

/** The own position changed or was lost; the last good one stands where this one cannot be one. */
export function takePosition(
  context: StepContext,
  position: Position | 'none',
  time: TimeOfDay | 'none',
): void {
  if (!isSoundPosition(position)) {
    context.refuse({ type: 'position', value: position, isAlert: false }, 'soundPosition');
    return;
  }
  const isTimed = isSoundTime(time);
  if (!isTimed) {
    context.refuse({ type: 'time', value: time }, 'soundPosition');
  }
  context.state.position = position;
  context.state.positionTime = isTimed && position !== 'none' ? time : 'none';
}
