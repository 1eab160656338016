/**
 * Yes or no, typed by a person at the terminal, or line by line through a pipe.
 */
import { createInterface } from 'node:readline';

/** Asks a person. */
interface Asker {
  /** The answer; undefined where no more comes. */
  ask(question: string): Promise<boolean | undefined>;
  close(): void;
}

const ANSWERS: Readonly<Record<string, boolean>> = { y: true, yes: true, n: false, no: false };

/** Opens the keyboard; questions go to standard error, so that a result in JSON stays clean. */
export function openAsker(): Asker {
  const lines = createInterface({ input: process.stdin, terminal: false });
  const typed = lines[Symbol.asyncIterator]();
  return {
    async ask(question) {
      for (;;) {
        process.stderr.write(`${question} Type y or n: `);
        const line = await typed.next();
        if (line.done) return undefined;
        const answer = ANSWERS[line.value.trim().toLowerCase()] as boolean | undefined;
        if (answer !== undefined) return answer;
      }
    },
    close() {
      lines.close();
    },
  };
}
