/**
 * Sounds of a page: one at a time.
 */
export function oneAtATime(): void {
  const all = [...document.querySelectorAll('audio')];
  for (const audio of all) {
    audio.addEventListener('play', () => {
      for (const other of all) if (other !== audio) other.pause();
    });
  }
}
