/**
 * ITU-T G.711: the A-law and µ-law codes as 16-bit values (from memory).
 */

/** A-law, G.711 table 1: even bits inverted, sign bit 1 positive, three bits of segment, four of level; 13 bits at the top of 16. */
function alaw(code: number): number {
  const bits = code ^ 0x55;
  const segment = (bits >> 4) & 7;
  const level = ((bits & 15) << 4) + 8;
  const magnitude = segment === 0 ? level : (level + 0x100) << (segment - 1);
  return (bits & 0x80) !== 0 ? magnitude : -magnitude;
}

/** µ-law, G.711 table 2: all bits inverted, sign bit 1 negative, a bias of 33 (0x84 at the top of 16 bits); 14 bits at the top of 16. */
function mulaw(code: number): number {
  const bits = ~code & 0xff;
  const magnitude = ((((bits & 15) << 3) + 0x84) << ((bits >> 4) & 7)) - 0x84;
  return (bits & 0x80) !== 0 ? -magnitude : magnitude;
}

/** The 16-bit values of the 256 codes of either law. */
export function g711Table(law: 'alaw' | 'mulaw'): Int16Array {
  return Int16Array.from({ length: 256 }, (_, code) => (law === 'alaw' ? alaw(code) : mulaw(code)));
}
