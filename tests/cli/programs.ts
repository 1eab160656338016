/**
 * A recorder and a player for tests: programs that take the place of a sound card's.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Samples per second that the recorder gives and the player takes. */
export const PROGRAM_RATE = 8000;

/** A program of its own, as a command line. */
export function program(folder: string, name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return `"${process.execPath}" "${path}"`;
}

/** Records faint noise in real time, and two seconds after its beginning a sound. */
export function recorder(folder: string, sound: Float32Array): string {
  const bytes = Buffer.from(Int16Array.from(sound, (sample) => Math.round(sample * 32_000)).buffer);
  const path = join(folder, 'recorded.raw');
  writeFileSync(path, bytes);
  return program(
    folder,
    'recorder.mjs',
    `import { readFileSync } from 'node:fs';
     const rate = ${PROGRAM_RATE};
     const sound = readFileSync(${JSON.stringify(path)});
     const at = 2 * 2 * rate;
     let written = 0;
     const begun = performance.now();
     setInterval(() => {
       const due = 2 * Math.floor(((performance.now() - begun) * rate) / 1000);
       const block = Buffer.alloc(due - written);
       for (let n = 0; n < block.length; n += 2) block.writeInt16LE(Math.round(20 * Math.random() - 10), n);
       for (let n = 0; n < block.length; n++) {
         const k = written + n - at;
         if (k >= 0 && k < sound.length) block[n] = sound[k];
       }
       written = due;
       process.stdout.write(block);
     }, 20);
     process.stdout.on('error', () => process.exit());`,
  );
}

/** Takes its sound and writes it to a file. */
export function player(folder: string, name: string): string {
  return program(
    folder,
    'player.mjs',
    `import { writeFileSync } from 'node:fs';
     const pieces = [];
     for await (const piece of process.stdin) pieces.push(piece);
     writeFileSync(${JSON.stringify(join(folder, name))}, Buffer.concat(pieces));`,
  );
}
