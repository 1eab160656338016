/**
 * One press, one call: from a press until what it began shows, other presses do nothing, however soon they come.
 */
import { useEffect, useRef, useState } from 'preact/hooks';

/** @param isShown - whether what was pressed for shows */
export function useOnePress(isShown: boolean) {
  const [isPressed, setPressed] = useState(false);
  // A second press may come before the first is drawn.
  const pressed = useRef(false);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);

  function release(): void {
    clearTimeout(timer.current);
    pressed.current = false;
    setPressed(false);
  }
  useEffect(() => {
    if (isShown) release();
  }, [isShown]);
  useEffect(() => release, []);

  return {
    isPressed,
    /** Whether this press counts. */
    press(): boolean {
      if (pressed.current) return false;
      pressed.current = true;
      setPressed(true);
      return true;
    },
    /** Holds other presses off until it shows, or so long. */
    hold(ms: number): void {
      timer.current = setTimeout(release, ms);
    },
  };
}
