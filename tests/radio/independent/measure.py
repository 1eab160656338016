#!/usr/bin/env python3
"""Measures a SigMF recording with numpy alone, without any of this package's code.

measure.py NAME WHAT… reads NAME.sigmf-meta and NAME.sigmf-data and prints, as JSON, for each WHAT:
  noise:LOW:HIGH            power density between two frequencies, dB of full scale in 3 kHz
  line:LOW:HIGH:FROM:UNTIL  the strongest line between two frequencies and two moments: hertz and dB of full scale
  power:LOW:HIGH:FROM:UNTIL all power there, dB of full scale
  constant                  the means of I and of Q
  uneven                    how much stronger Q is than I, dB, and how far from a quarter turn, degrees
  deviation:HERTZ:FROM:UNTIL  of a carrier there: the middle of its phase deviation, hertz, and its largest, radians
"""
import json
import sys

import numpy as np

TYPES = {"cf32_le": "<f4", "ci16_le": "<i2", "ci8": "i1", "cu8": "u1"}
SCALE = {"cf32_le": 1, "ci16_le": 32768, "ci8": 128, "cu8": 127.5}


def read(name):
    with open(name + ".sigmf-meta") as file:
        metadata = json.load(file)
    datatype = metadata["global"]["core:datatype"]
    numbers = np.fromfile(name + ".sigmf-data", TYPES[datatype]).astype(float)
    if datatype == "cu8":
        numbers -= 127.5
    numbers /= SCALE[datatype]
    samples = numbers[0::2] + 1j * numbers[1::2]
    return samples, metadata["global"]["core:sample_rate"], metadata["captures"][0]["core:frequency"]


def spectrum(samples, rate, tuned):
    """Power in each bin of a Hann window, full scale squared, and its frequencies; and the window's noise width."""
    window = np.hanning(len(samples))
    power = np.abs(np.fft.fftshift(np.fft.fft(samples * window))) ** 2 / np.sum(window) ** 2
    hertz = tuned + np.fft.fftshift(np.fft.fftfreq(len(samples), 1 / rate))
    width = rate * np.sum(window**2) / np.sum(window) ** 2
    return power, hertz, width


def decibels(power):
    return 10 * np.log10(power)


def measure(what, samples, rate, tuned):
    kind, *numbers = what.split(":")
    numbers = [float(number) for number in numbers]
    if kind == "constant":
        mean = np.mean(samples)
        return [mean.real, mean.imag]
    if kind == "uneven":
        samples = samples - np.mean(samples)
        gain = np.sqrt(np.mean(samples.imag**2) / np.mean(samples.real**2))
        between = np.mean(samples.real * samples.imag) / np.sqrt(
            np.mean(samples.real**2) * np.mean(samples.imag**2)
        )
        return [20 * np.log10(gain), np.degrees(np.arcsin(between))]
    if kind == "deviation":
        hertz, begin, end = numbers
        part = samples[int(begin * rate) : int(end * rate)]
        phase = np.unwrap(np.angle(part * np.exp(-2j * np.pi * (hertz - tuned) * np.arange(len(part)) / rate)))
        slope, start = np.polyfit(np.arange(len(part)), phase, 1)
        swing = phase - slope * np.arange(len(part)) - start
        return [slope * rate / (2 * np.pi), (np.max(swing) - np.min(swing)) / 2]
    low, high, *times = numbers
    begin, end = times or [0, len(samples) / rate]
    part = samples[int(begin * rate) : int(end * rate)]
    power, hertz, width = spectrum(part, rate, tuned)
    inside = (hertz >= low) & (hertz <= high)
    if kind == "line":
        best = np.argmax(np.where(inside, power, 0))
        return [hertz[best], decibels(power[best])]
    bin_width = rate / len(part)
    total = np.sum(power[inside]) * bin_width / width
    return decibels(total * 3000 / (high - low)) if kind == "noise" else decibels(total)


if __name__ == "__main__":
    name, *wanted = sys.argv[1:]
    print(json.dumps([measure(what, *read(name)) for what in wanted]))
