/**
 * Working channels as people type them.
 */
import type { Channel, Unassigned } from '../calls/index.js';
import { DotphaseError } from '../errors.js';

const FREQUENCY = /^(\d+(?:\.\d+)?)\s*(hz|khz|mhz)$/i;
const VHF = /^vhf\s*(\d{1,3})(?:\s+(ship|coast))?$/i;
const MF_HF = /^(?:channel|ch)\s*(\d{1,5})$/i;
const HZ_PER_UNIT: Readonly<Record<string, number>> = { hz: 1, khz: 1000, mhz: 1_000_000 };

/**
 * A frequency with its unit (`12520 kHz`), a VHF channel (`vhf 16`; `vhf 60 ship` for one side of a duplex
 * channel), an MF/HF channel (`channel 1205`) or `none`.
 *
 * @throws DotphaseError when it cannot be understood
 */
export function parseChannel(text: string): Exclude<Channel, Unassigned> {
  const plain = text.trim();
  if (plain.toLowerCase() === 'none') return 'none';
  const frequency = FREQUENCY.exec(plain);
  if (frequency) {
    const hz = Number(frequency[1]) * HZ_PER_UNIT[frequency[2].toLowerCase()];
    return { hz: Math.round(hz * 1000) / 1000 };
  }
  const vhf = VHF.exec(plain);
  if (vhf) {
    const side = (vhf[2] as string | undefined)?.toLowerCase() as 'ship' | 'coast' | undefined;
    return { vhfChannel: Number(vhf[1]), ...(side && { simplex: side }) };
  }
  const mfHf = MF_HF.exec(plain);
  if (mfHf) return { channel: Number(mfHf[1]) };
  throw new DotphaseError('channel', text, 'such as 12520 kHz, vhf 16, channel 1205 or none');
}
