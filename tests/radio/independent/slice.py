#!/usr/bin/env python3
"""Slices of spectrum made without any of this package's code, with numpy alone: DSC sequences as ITU-R M.493 Annex 1
describes them (ten-unit code, phasing, DX and RX, error check; from memory), keyed on several frequencies of a slice, with
noise, the constant and the image of an uneven receiver, and an oscillator that is off.

slice.py NAME writes NAME.sigmf-data, NAME.sigmf-meta and NAME.json, which tells what was sent.
"""
import json
import sys

import numpy as np

RATE = 96_000
TUNED = 8_426_000
SECONDS = 10
PPM = 2.0


def bits_of(symbol):
    """Seven bits, the least significant first, Y = 1; then the number of B among them, most significant first."""
    info = [symbol >> n & 1 for n in range(7)]
    zeros = info.count(0)
    return info + [zeros >> n & 1 for n in (2, 1, 0)]


def digits(text):
    """Two digits a symbol."""
    return [int(text[n : n + 2]) for n in range(0, len(text), 2)]


def sequence(symbols, dots):
    """Dot pattern, phasing, each character in DX and again in RX after four others, error check."""
    end = symbols[-1]
    check = 0
    for symbol in symbols[1:]:
        check ^= symbol
    dx = [125] * 6 + symbols + [check, end, end]
    rx = [111, 110, 109, 108, 107, 106, 105, 104] + symbols + [check]
    bits = [n % 2 for n in range(dots)]
    for one, other in zip(dx, rx):
        bits += bits_of(one) + bits_of(other)
    return bits


def keyed(bits, hertz, begin, amplitude, length):
    """Continuous phase, 100 Bd, B 85 Hz above the assigned frequency and Y below it."""
    seen = hertz - TUNED * (1 + PPM * 1e-6)
    samples = np.zeros(length, complex)
    per_bit = RATE // 100
    tones = np.repeat(np.where(np.array(bits) == 1, -85.0, 85.0), per_bit)
    phase = 2 * np.pi * np.cumsum(seen + tones) / RATE
    first = int(begin * RATE)
    samples[first : first + len(phase)] = amplitude * np.exp(1j * phase)
    return samples


def test_call(own):
    return [120, 120] + digits("0029912340") + [108] + digits(own + "0") + [118, 126] + [126] * 6 + [117]


def alert(own):
    position = digits("1481201259")
    return [112, 112] + digits(own + "0") + [101] + position + digits("0930") + [109, 127]


SENT = [
    # Frequency, symbols up to the end of sequence, dots, begin, amplitude.
    (8_414_500, alert("299123456"), 200, 0.4, 0.3),
    (8_415_000, test_call("299000111"), 20, 0.9, 0.05),
    (8_436_500, test_call("299000222"), 20, 0.2, 0.0006),
    (8_437_000, test_call("299000333"), 20, 1.3, 0.01),
]


def main(name):
    random = np.random.default_rng(1)
    length = SECONDS * RATE
    # −80 dB of full scale in 3 kHz.
    deviation = np.sqrt(1e-8 / 3000 * RATE / 2)
    samples = deviation * (random.standard_normal(length) + 1j * random.standard_normal(length))
    for hertz, symbols, dots, begin, amplitude in SENT:
        samples += keyed(sequence(symbols, dots), hertz, begin, amplitude, length)
    # Q half a decibel too strong and 3 degrees late, and a constant.
    q = 10 ** (0.5 / 20) * (samples.imag * np.cos(np.radians(3)) + samples.real * np.sin(np.radians(3)))
    received = samples.real + 0.02 + 1j * (q - 0.01)
    pairs = np.empty(2 * length, "<i2")
    pairs[0::2] = np.round(32767 * received.real)
    pairs[1::2] = np.round(32767 * received.imag)
    pairs.tofile(name + ".sigmf-data")
    with open(name + ".sigmf-meta", "w") as file:
        json.dump(
            {
                "global": {"core:datatype": "ci16_le", "core:sample_rate": RATE, "core:version": "1.0.0"},
                "captures": [
                    {"core:sample_start": 0, "core:frequency": TUNED, "core:datetime": "2031-05-17T09:30:00Z"}
                ],
                "annotations": [],
            },
            file,
        )
    with open(name + ".json", "w") as file:
        json.dump([{"frequencyHz": hertz, "symbols": symbols} for hertz, symbols, *_ in SENT], file)


if __name__ == "__main__":
    main(sys.argv[1])
