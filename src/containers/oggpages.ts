/**
 * Cuts an Ogg stream into whole pages and notes what is damaged or missing (RFC 3533 §6). The decoders say nothing of
 * such pages, and make sound up from the rest of one that is cut off.
 */

const HEADER_BYTES = 27;
const LAST_PAGE = 4;
const FULL_SEGMENT = 255;

/** Polynomial 0x04c11db7, no reflection, starting from 0 (§6, page checksum). */
const CRC32 = Uint32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 24;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x80000000 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
  return crc >>> 0;
});

/** The check of a page, whose own four bytes count as 0. */
function checkOf(page: Uint8Array): number {
  let crc = 0;
  for (let i = 0; i < page.length; i++) {
    const byte = i >= 22 && i < 26 ? 0 : page[i];
    crc = ((crc << 8) ^ CRC32[(crc >>> 24) ^ byte]) >>> 0;
  }
  return crc;
}

function isPageAt(bytes: Uint8Array, at: number): boolean {
  return bytes[at] === 0x4f && bytes[at + 1] === 0x67 && bytes[at + 2] === 0x67 && bytes[at + 3] === 0x53;
}

/** Gives the whole pages of a stream and counts the damaged and missing ones. */
export class OggPages {
  #held = new Uint8Array(0);
  #damaged = 0;
  #missing = 0;
  #next: number | undefined;
  #isLast = false;

  /** Takes the next bytes and gives the pages that they complete. */
  push(bytes: Uint8Array): Uint8Array[] {
    const pages: Uint8Array[] = [];
    const joined = new Uint8Array(this.#held.length + bytes.length);
    joined.set(this.#held);
    joined.set(bytes, this.#held.length);
    let at = 0;
    while (at + HEADER_BYTES <= joined.length) {
      if (!isPageAt(joined, at)) {
        at++;
        continue;
      }
      const segments = joined[at + 26];
      const body = at + HEADER_BYTES + segments;
      const size = joined.subarray(at + HEADER_BYTES, body).reduce((sum, segment) => sum + segment, 0);
      if (body > joined.length || body + size > joined.length) break;
      const page = joined.slice(at, body + size);
      this.#note(page);
      pages.push(page);
      at = body + size;
    }
    this.#held = joined.slice(at);
    return pages;
  }

  #note(page: Uint8Array): void {
    const view = new DataView(page.buffer, page.byteOffset, page.length);
    if (checkOf(page) !== view.getUint32(22, true)) this.#damaged++;
    const sequence = view.getUint32(18, true);
    if (this.#next !== undefined && sequence > this.#next) this.#missing += sequence - this.#next;
    this.#next = sequence + 1;
    this.#isLast = (page[5] & LAST_PAGE) !== 0;
  }

  /** The packets that are whole on a page that is cut off at the end of the file, as a page of their own. */
  end(): Uint8Array[] {
    const held = this.#held;
    if (held.length < HEADER_BYTES || !isPageAt(held, 0)) return [];
    const segments = held.subarray(HEADER_BYTES, HEADER_BYTES + held[26]);
    let size = 0;
    let wholeSegments = 0;
    let wholeSize = 0;
    for (const [i, segment] of segments.entries()) {
      size += segment;
      if (HEADER_BYTES + held[26] + size > held.length) break;
      // A packet ends with the first segment that is not full (§5).
      if (segment < FULL_SEGMENT) [wholeSegments, wholeSize] = [i + 1, size];
    }
    if (wholeSegments === 0) return [];
    const body = HEADER_BYTES + held[26];
    const page = new Uint8Array(HEADER_BYTES + wholeSegments + wholeSize);
    page.set(held.subarray(0, HEADER_BYTES + wholeSegments));
    page[26] = wholeSegments;
    page.set(held.subarray(body, body + wholeSize), HEADER_BYTES + wholeSegments);
    return [page];
  }

  /** What is wrong with the stream, a sentence each. */
  problems(): string[] {
    const problems: string[] = [];
    if (this.#damaged > 0)
      problems.push(`${this.#damaged} of its pages are damaged: what they hold may be wrong.`);
    if (this.#missing > 0)
      problems.push(`${this.#missing} of its pages are missing: times behind them are too early.`);
    if (!this.#isLast) problems.push('The file ends early: its last page is not there.');
    return problems;
  }
}
