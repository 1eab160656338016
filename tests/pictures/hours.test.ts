/** Recordings of hours as drawings. */
import { expect, it } from 'vitest';
import { createHoursDrawing } from '../../src/pictures/index.js';

const RATE = 8000;
const noise = (seconds: number) =>
  Float32Array.from({ length: seconds * RATE }, (_, n) => 0.1 * Math.sin(n * n));

it('is the same however the audio is cut, a line for each stretch', () => {
  const audio = noise(150);
  const draw = (step: number) => {
    const drawing = createHoursDrawing({ sampleRate: RATE, lineSeconds: 60 });
    for (let at = 0; at < audio.length; at += step) drawing.push(audio.subarray(at, at + step));
    return drawing.end({ title: 'Noise' });
  };
  const whole = draw(audio.length);
  expect(whole.split('<image ')).toHaveLength(4);
  expect(draw(7777) === whole).toBe(true);
});

it('names lines by the time of day, and a new day by its date', () => {
  const drawing = createHoursDrawing({ sampleRate: RATE, lineSeconds: 60 });
  drawing.push(noise(130));
  const svg = drawing.end({ began: Date.UTC(2031, 4, 17, 23, 59), title: `<script>"'&` });
  for (const text of ['>23:59<', '>00:00<', '>00:01<', '>2031-05-17<', '>2031-05-18<'])
    expect(svg.includes(text), text).toBe(true);
  expect(svg.includes('<script>')).toBe(false);
});

it('is refused where there is nothing to draw, or no such line', () => {
  expect(() => createHoursDrawing({ sampleRate: RATE }).end()).toThrow(/samples: got "none"/);
  expect(() => createHoursDrawing({ sampleRate: 7999 })).toThrow(/sampleRate/);
  expect(() => createHoursDrawing({ sampleRate: RATE, lineSeconds: 59 })).toThrow(/lineSeconds/);
});
