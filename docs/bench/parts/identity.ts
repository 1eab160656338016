/**
 * What an identity says about its holder.
 */
import {
  DotphaseError,
  describeIdentity,
  identityMid,
  isAllocatedMid,
  midAdministration,
  parseIdentity,
} from 'dotphase';

/** Kind, grouped digits and administration of an identity as typed; empty where it is none. */
export function sayIdentity(text: string): string {
  let digits: string;
  try {
    digits = parseIdentity(text);
  } catch (error) {
    if (error instanceof DotphaseError) return '';
    throw error;
  }
  const mid = identityMid(digits);
  return mid === undefined ? describeIdentity(digits) : `${describeIdentity(digits)} · ${sayMid(mid)}`;
}

function sayMid(mid: string): string {
  const administration = midAdministration(mid);
  if (administration !== undefined) return administration;
  return isAllocatedMid(mid) === false ? `MID ${mid} is allotted to nobody` : `MID ${mid} is not known here`;
}
