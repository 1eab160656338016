/**
 * Calls damaged on the way, and what a receiver by the rules of ITU-R M.493 Annex 1 §3 and §10 (from memory) makes of
 * them. The expected readings are typed by hand.
 */

/** Characters by their place behind the phasing: 0 and 1 the format specifiers, then the body, EOS, ECC, EOS, EOS. */
interface Sendings {
  readonly dx?: readonly number[];
  readonly rx?: readonly number[];
}

/** One damaged call. */
export interface DamagedCase {
  readonly name: string;
  readonly about: string;
  /** The call it was, by the name of its case. */
  readonly of: string;
  /** Phasing characters hit so that their check bits disagree, by slot: DX 0, 2 … 10, RX 1, 3 … 15. */
  readonly lostPhasing?: readonly number[];
  /** Characters hit so that their check bits disagree. */
  readonly lost?: Sendings;
  /** Characters turned into another symbol, whose check bits agree. */
  readonly turned?: { readonly to: number } & Sendings;
  /** Bits missing at the beginning, dot pattern included. */
  readonly lateBits?: number;
  /** Bits left of the whole. */
  readonly endsAt?: number;
  readonly expected: {
    /** One format specifier through the error check, or undefined where the call cannot be read. */
    readonly characters?: string;
    /** Whether the error check agrees. */
    readonly checked: boolean;
    readonly expansions?: readonly string[];
  };
  readonly wav?: true;
}

const ALERT = '112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 84';

export const DAMAGED: readonly DamagedCase[] = [
  {
    name: 'lost-in-dx',
    about: 'Three characters hit in DX are read from RX',
    of: 'distress-alert',
    lost: { dx: [2, 7, 16] },
    expected: { characters: ALERT, checked: true },
    wav: true,
  },
  {
    name: 'lost-in-rx',
    about: 'Three characters hit in RX were read from DX',
    of: 'distress-alert',
    lost: { rx: [2, 7, 16] },
    expected: { characters: ALERT, checked: true },
  },
  {
    name: 'lost-in-both',
    about: 'A character hit in both sendings: the call cannot be read',
    of: 'distress-alert',
    lost: { dx: [9], rx: [9] },
    expected: { checked: false },
  },
  {
    name: 'every-dx-lost',
    about: 'All of DX but the two closing ends of sequence hit; RX alone carries the call',
    of: 'distress-alert',
    lost: { dx: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17] },
    expected: { characters: ALERT, checked: true },
  },
  {
    name: 'wrong-error-check',
    about: 'The nature of distress turned into sinking in both sendings: the error check disagrees',
    of: 'distress-alert',
    turned: { to: 105, dx: [7], rx: [7] },
    expected: { characters: '112 29 91 23 45 60 105 15 03 00 04 12 09 30 109 127 84', checked: false },
  },
  {
    name: 'turned-in-rx',
    about: 'The nature of distress turned into sinking in RX: DX counts',
    of: 'distress-alert',
    turned: { to: 105, rx: [7] },
    expected: { characters: ALERT, checked: true },
  },
  {
    name: 'turned-in-dx',
    about: 'The nature of distress turned into sinking in DX: DX counts, and the error check disagrees',
    of: 'distress-alert',
    turned: { to: 105, dx: [7] },
    expected: { characters: '112 29 91 23 45 60 105 15 03 00 04 12 09 30 109 127 84', checked: false },
  },
  {
    name: 'distress-format-once',
    about: 'One of the two format specifiers of a distress alert hit in both sendings: it does not count',
    of: 'distress-alert',
    lost: { dx: [0], rx: [0] },
    expected: { checked: false },
  },
  {
    name: 'all-ships-format-once',
    about: 'One of the two format specifiers of an all-ships call hit in both sendings: it does not count',
    of: 'urgency-all-ships',
    lost: { dx: [1], rx: [1] },
    expected: { checked: false },
  },
  {
    name: 'individual-format-once',
    about: 'One of the two format specifiers of an individual call hit in both sendings: once is enough',
    of: 'test-call-vhf',
    lost: { dx: [0], rx: [0] },
    expected: {
      characters: '120 29 96 54 32 10 108 29 91 23 45 60 118 126 126 126 126 126 126 126 117 72',
      checked: true,
    },
    wav: true,
  },
  {
    name: 'end-lost',
    about: 'The end of sequence before the error check hit in both sendings: the call cannot be read',
    of: 'distress-alert-vhf',
    lost: { dx: [16], rx: [16] },
    expected: { checked: false },
  },
  {
    name: 'closing-lost',
    about: 'The two closing ends of sequence hit: nothing is missing',
    of: 'distress-alert-vhf',
    lost: { dx: [18, 19] },
    expected: { characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93', checked: true },
  },
  {
    name: 'cut-off',
    about: 'The sending breaks off in the middle',
    of: 'distress-alert-vhf',
    endsAt: 300,
    expected: { checked: false },
  },
  {
    name: 'began-late',
    about: 'The receiver came late: 125 106 105 104 of the phasing are left, one DX and three RX',
    of: 'distress-alert-vhf',
    lateBits: 20 + 100,
    expected: { characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93', checked: true },
    wav: true,
  },
  {
    name: 'phasing-two-dx-one-rx',
    about: 'Two DX and one RX phasing characters, far apart, suffice',
    of: 'distress-alert-vhf',
    lostPhasing: [2, 3, 4, 5, 6, 7, 8, 9, 11, 13, 15],
    expected: { characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93', checked: true },
  },
  {
    name: 'phasing-one-dx-two-rx',
    about: 'One DX and two RX phasing characters suffice',
    of: 'distress-alert-vhf',
    lostPhasing: [0, 2, 3, 4, 5, 6, 7, 8, 9, 11, 13],
    expected: { characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93', checked: true },
  },
  {
    name: 'phasing-three-rx',
    about: 'Three RX phasing characters suffice',
    of: 'distress-alert-vhf',
    lostPhasing: [0, 1, 2, 4, 5, 6, 7, 8, 10, 11, 15],
    expected: { characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93', checked: true },
  },
  {
    name: 'phasing-dx-alone',
    about: 'Six DX phasing characters without an RX do not tell where the call begins',
    of: 'distress-alert-vhf',
    lostPhasing: [1, 3, 5, 7, 9, 11, 13, 15],
    expected: { checked: false },
  },
  {
    name: 'phasing-two',
    about: 'One DX and one RX phasing character do not suffice',
    of: 'distress-alert-vhf',
    lostPhasing: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 13, 15],
    expected: { checked: false },
  },
  {
    name: 'expansion-lost',
    about: 'A character of the expansion hit in both sendings: the call counts, to the minute',
    of: 'expansion-fine-position',
    lost: { dx: [22], rx: [22] },
    expected: { characters: ALERT, checked: true, expansions: [] },
  },
  {
    name: 'expansion-turned',
    about: 'A character of the expansion turned into another in both sendings: its error check disagrees',
    of: 'expansion-fine-position',
    turned: { to: 8, dx: [22], rx: [22] },
    expected: { characters: ALERT, checked: true, expansions: [] },
  },
];
