/**
 * Lines as things happen, each with its time, and on a terminal below them one line that changes.
 */
import { pad, screenOf, wrap, type Screen } from '../terminal.js';
import { utcClock } from '../utc.js';

/** Columns of the time in front of a line, with the room behind it. */
const TIME_COLUMNS = 10;

const MARGIN = ' '.repeat(TIME_COLUMNS);

/** Shows what happens on a stream. */
export class Printer {
  readonly screen: Screen;
  private readonly isTerminal: boolean;
  private status = '';
  /** What waits while a question stands on the screen; undefined where none does. */
  private held: string[] | undefined;
  private onHeld: (() => void) | undefined;

  constructor(private readonly stream: NodeJS.WriteStream) {
    this.screen = screenOf(stream);
    this.isTerminal = stream.isTTY && process.env.TERM !== 'dumb';
  }

  /** A text with its time, and facts about it below. */
  entry(time: number, text: string, facts: readonly string[] = []): void {
    const { colours, width } = this.screen;
    const head = `${colours.bold(utcClock(time))}  `;
    this.lines([
      ...wrap(text, width, MARGIN, head),
      ...facts.flatMap((fact) => wrap(fact, width, MARGIN, MARGIN)).map((line) => colours.dim(line)),
    ]);
  }

  /** Something to mind, without a time. */
  warning(text: string): void {
    const { colours, width } = this.screen;
    this.lines(wrap(text, width, MARGIN, MARGIN).map((line) => colours.yellow(line)));
  }

  /** Lines under an entry. */
  below(lines: readonly string[]): void {
    this.lines(lines.map((line) => (MARGIN + line).trimEnd()));
  }

  /** A paragraph of its own. */
  paragraph(text: string): void {
    this.lines(wrap(text, this.screen.width));
  }

  /** Columns of what stands under an entry. */
  get columns(): number {
    return this.screen.width - TIME_COLUMNS;
  }

  /** The line that changes; nothing where there is no terminal. */
  show(status: string): void {
    if (!this.isTerminal || this.held || status === this.status) return;
    this.status = status;
    const [line] = wrap(status, this.screen.width - 1);
    this.stream.write(`\r\x1b[K${this.screen.colours.cyan(pad(line, 0))}`);
  }

  /** Keeps what is printed back, for a question stands on the screen. */
  hold(onHeld: () => void): void {
    this.clear();
    this.held = [];
    this.onHeld = onHeld;
  }

  /** Prints what was kept back. */
  release(): void {
    const lines = this.held ?? [];
    this.held = undefined;
    this.onHeld = undefined;
    if (lines.length > 0) this.lines(lines);
  }

  /** Takes the line that changes away. */
  clear(): void {
    if (this.status !== '') this.stream.write('\r\x1b[K');
    this.status = '';
  }

  private lines(lines: readonly string[]): void {
    if (lines.length === 0) return;
    if (this.held) {
      this.held.push(...lines);
      this.onHeld?.();
      return;
    }
    this.clear();
    this.stream.write(`${lines.join('\n')}\n`);
  }
}
