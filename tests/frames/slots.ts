/**
 * Slot sequences written out by hand from the rules of ITU-R M.493 Annex 1 §3 (from memory): one line for each pair, DX
 * then RX. DX opens with 125 six times, RX with 111 down to 104; each character goes out again in RX two pairs after its
 * DX slot; DX ends EOS, ECC, EOS, EOS and RX ends EOS, ECC.
 */
const PHASING = `
125 111
125 110
125 109
125 108
125 107
125 106
`;

/** 112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 84: flooding, 50°30′N 004°12′W, 09:30, J3E. */
export const DISTRESS_ALERT = `${PHASING}
112 105
112 104
029 112
091 112
023 029
045 091
060 023
101 045
015 060
003 101
000 015
004 003
012 000
009 004
030 012
109 009
127 030
084 109
127 127
127 084
`;

/** 120 00 29 91 23 40 108 29 91 23 45 60 118 126 126×6 117 80. */
export const TEST_CALL = `${PHASING}
120 105
120 104
000 120
029 120
091 000
023 029
040 091
108 023
029 040
091 108
023 029
045 091
060 023
118 045
126 060
126 118
126 126
126 126
126 126
126 126
126 126
117 126
080 126
117 117
117 080
`;

/** 120 29 91 23 45 60 108 00 29 91 23 40 118 126 126×6 122 95. */
export const TEST_ACKNOWLEDGEMENT = `${PHASING}
120 105
120 104
029 120
091 120
023 029
045 091
060 023
108 045
000 060
029 108
091 000
023 029
040 091
118 023
126 040
126 118
126 126
126 126
126 126
126 126
126 126
122 126
095 126
122 122
122 095
`;

/**
 * The distress alert with an expansion 100 74 07 02 50 127 102 behind the two closing ends of sequence; the repetition in
 * RX runs on.
 */
export const EXPANDED_ALERT = `${DISTRESS_ALERT}
100 127
074 127
007 100
002 074
050 007
127 002
102 050
127 127
127 102
`;

/** The same with the expansion right behind the error check, and the two closing ends only at the very end. */
export const EXPANDED_ALERT_AFTER_CHECK = `${DISTRESS_ALERT.slice(0, DISTRESS_ALERT.indexOf('127 127'))}
100 127
074 084
007 100
002 074
050 007
127 002
102 050
127 127
127 102
`;

/** The slots of a sequence in the order they are sent: DX, RX, DX, RX … */
export function slotsOf(sequence: string): number[] {
  return sequence.trim().split(/\s+/).map(Number);
}
