/**
 * Files dropped on the page.
 */
import { useEffect, useRef, useState } from 'preact/hooks';

/** Views that take recordings; what is dropped on another goes to the first. */
const TAKERS = ['listen', 'measure'] as const;

const takerNow = () => {
  const [view] = location.hash.slice(1).split('/');
  return TAKERS.find((taker) => taker === view) ?? TAKERS[0];
};

/**
 * Takes files that are dropped anywhere on the page, so that none of them takes the page's place.
 *
 * @returns whether files are held over the page
 */
export function useDrops(view: (typeof TAKERS)[number], onFiles: (files: readonly File[]) => void): boolean {
  const [isOver, setOver] = useState(false);
  const take = useRef(onFiles);
  take.current = onFiles;
  useEffect(() => {
    const over = (event: DragEvent) => {
      event.preventDefault();
      setOver(true);
    };
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false);
    };
    const drop = (event: DragEvent) => {
      event.preventDefault();
      setOver(false);
      const files = [...(event.dataTransfer?.files ?? [])];
      if (files.length === 0 || takerNow() !== view) return;
      if (!location.hash.startsWith(`#${view}`)) location.hash = view;
      take.current(files);
    };
    addEventListener('dragover', over);
    addEventListener('dragleave', leave);
    addEventListener('drop', drop);
    return () => {
      removeEventListener('dragover', over);
      removeEventListener('dragleave', leave);
      removeEventListener('drop', drop);
    };
  }, []);
  return isOver;
}
