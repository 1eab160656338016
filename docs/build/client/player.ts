/**
 * A sound that plays with a cursor through its drawings: over the time axis of a spectrogram, and from cell to cell of
 * a strip of characters. Cells can be stepped through, each heard alone.
 */

/** What sounds when, as the page has it: seconds, the cell in the strip, words. */
interface Cue {
  readonly from: number;
  readonly to: number;
  readonly cell: string;
  readonly says: string;
}

interface Track {
  readonly line: HTMLElement;
  /** Where the time axis begins and ends, per cent of the drawing's width, and its seconds. */
  readonly left: number;
  readonly right: number;
  readonly seconds: number;
}

/** A cue begins so much early, seconds, for players round the time they are told. */
const EARLY = 1e-3;

function trackOf(line: HTMLElement): Track {
  const { left, right, seconds } = line.dataset;
  return { line, left: Number(left), right: Number(right), seconds: Number(seconds) };
}

/** Moves a scrolled drawing so that the cell is seen, without moving the page. */
function follow(cell: Element, isStill: boolean): void {
  const frame = cell.closest('.drawing');
  if (!frame || frame.scrollWidth <= frame.clientWidth) return;
  const [box, around] = [cell.getBoundingClientRect(), frame.getBoundingClientRect()];
  if (box.left >= around.left && box.right <= around.right) return;
  const left = frame.scrollLeft + box.left - around.left - around.width / 4;
  frame.scrollTo({ left, behavior: isStill ? 'auto' : 'smooth' });
}

function setUp(player: HTMLElement): void {
  const audio = player.querySelector('audio');
  if (!audio) return;
  const cues = JSON.parse(player.querySelector('.cues')?.textContent ?? '[]') as Cue[];
  const tracks = [...player.querySelectorAll<HTMLElement>('.cursor')].map(trackOf);
  const says = player.querySelector('.says');
  const stillness = matchMedia('(prefers-reduced-motion: reduce)');
  let current: Cue | undefined;
  /** What is heard alone; undefined where all of it plays. */
  let alone: Cue | undefined;

  const show = (time: number) => {
    const cue = cues.findLast(({ from }) => from <= time + EARLY);
    const sounding = cue && time < cue.to ? cue : undefined;
    for (const { line, left, right, seconds } of tracks) {
      // Those who want no motion see the cursor go from cell to cell.
      const at = stillness.matches && cues.length > 0 ? (sounding?.from ?? time) : time;
      line.hidden = time === 0;
      line.style.left = `${left + (right - left) * Math.min(1, at / seconds)}%`;
    }
    if (sounding === current) return;
    if (current) player.querySelector(`[data-cell="${current.cell}"]`)?.classList.remove('sounds');
    const cell = sounding && player.querySelector(`[data-cell="${sounding.cell}"]`);
    cell?.classList.add('sounds');
    if (cell) follow(cell, stillness.matches);
    if (says) says.textContent = sounding?.says ?? '';
    current = sounding;
  };

  const run = () => {
    const time = audio.currentTime;
    if (alone && time >= alone.to) {
      audio.pause();
      alone = undefined;
      return;
    }
    show(alone ? Math.min(Math.max(time, alone.from), alone.to - 2 * EARLY) : time);
    if (!audio.paused) requestAnimationFrame(run);
  };

  const hear = async (cue: Cue) => {
    audio.currentTime = cue.from;
    // What is stepped to is read out; what runs by is not.
    says?.setAttribute('aria-live', 'polite');
    show(cue.from);
    try {
      await audio.play();
      alone = cue;
    } catch {
      // Stopped before it sounded, by another sound or by hand.
    }
  };

  audio.addEventListener('play', () => {
    alone = undefined;
    says?.setAttribute('aria-live', 'off');
    run();
  });
  audio.addEventListener('seeked', () => {
    if (audio.paused) show(audio.currentTime);
  });
  audio.addEventListener('ended', () => {
    show(0);
  });

  const step = (by: number) => {
    const at = current ? cues.indexOf(current) : cues.findLastIndex(({ from }) => from < audio.currentTime);
    const next = cues[Math.min(cues.length - 1, Math.max(0, at + by))];
    void hear(next);
  };
  const actions: Record<string, () => void> = {
    back: () => {
      step(-1);
    },
    on: () => {
      step(1);
    },
  };
  for (const button of player.querySelectorAll<HTMLButtonElement>('button[data-do]')) {
    button.addEventListener('click', actions[button.dataset.do ?? '']);
  }
  for (const cell of player.querySelectorAll<SVGElement>('[data-cell]')) {
    cell.addEventListener('click', () => {
      const cue = cues.find((each) => each.cell === cell.dataset.cell);
      if (cue) void hear(cue);
    });
  }
  for (const { line, left, right, seconds } of tracks) {
    line.parentElement?.addEventListener('click', (event) => {
      const { left: edge, width } = (event.currentTarget as HTMLElement).getBoundingClientRect();
      const share = (((event.clientX - edge) / width) * 100 - left) / (right - left);
      alone = undefined;
      audio.currentTime = Math.min(1, Math.max(0, share)) * seconds;
      show(audio.currentTime);
    });
  }
  for (const part of player.querySelectorAll<HTMLElement>('.scripted')) part.hidden = false;
}

/** Sets up every player of the page. */
export function setUpPlayers(): void {
  for (const player of document.querySelectorAll<HTMLElement>('.player')) setUp(player);
}
