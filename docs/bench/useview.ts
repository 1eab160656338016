/**
 * Which of a page's views is shown: the address says it, behind #.
 */
import { useEffect, useRef, useState } from 'preact/hooks';

/**
 * The view that the address names, now and whenever it changes; then the page begins at its top, with the focus on the
 * element that takes the reference.
 *
 * @param chosen - the same function at every call: reads the view out of the address
 */
export function useView<View>(chosen: () => View) {
  const [view, setView] = useState(chosen);
  const main = useRef<HTMLElement>(null);
  useEffect(() => {
    const follow = () => {
      setView(chosen);
      scrollTo(0, 0);
      main.current?.focus({ preventScroll: true });
    };
    addEventListener('hashchange', follow);
    return () => {
      removeEventListener('hashchange', follow);
    };
  }, [chosen]);
  return { view, main };
}
