/** Windows of one bit in which the search measures tones, a bit: the timing error of the nearest is at most a sixth of a bit. */
export const WINDOWS_PER_BIT = 3;
