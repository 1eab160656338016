/**
 * The wall: the current sequence or exchange at the width of a projector, to be read from the last row.
 */
import { createContext, type ComponentChildren } from 'preact';
import { useContext, useEffect, useRef } from 'preact/hooks';

export interface WallState {
  /** The view that is shown on the wall, if any. */
  readonly view: string | undefined;
  readonly open: (view: string) => void;
  readonly close: () => void;
}

export const WallContext = createContext<WallState>({
  view: undefined,
  open: () => undefined,
  close: () => undefined,
});

/** The key that opens and closes the wall. */
const WALL_KEY = 'w';

/** Whether a key was pressed where it is no letter of a text. */
export function isForWall(event: KeyboardEvent): boolean {
  const { target } = event;
  const isTyping =
    target instanceof HTMLElement && target.closest('input, select, textarea, [contenteditable]') !== null;
  const isPlain = !event.ctrlKey && !event.metaKey && !event.altKey;
  return event.key.toLowerCase() === WALL_KEY && isPlain && !isTyping;
}

const CAUTIONS: Readonly<Record<string, string>> = {
  distress: 'Distress: for training, on a dummy load or cable. Never on the air.',
  urgency: 'Urgency: for training, on a dummy load or cable. Never on the air.',
  safety: 'Safety: for training, on a dummy load or cable. Never on the air.',
};

export function WallButton({ view }: { view: string }) {
  const { open } = useContext(WallContext);
  return (
    <button
      type="button"
      class="wall-button"
      title="Shows this as large as the screen; the key W does so too"
      onClick={() => {
        open(view);
      }}
    >
      Wall <kbd>W</kbd>
    </button>
  );
}

/** What a view shows on the wall. */
export function Wall({
  view,
  category,
  label,
  children,
}: {
  view: string;
  category: string | undefined;
  label: string;
  children: ComponentChildren;
}) {
  const { view: shown, close } = useContext(WallContext);
  const dialog = useRef<HTMLDialogElement>(null);
  const isShown = shown === view;
  useEffect(() => {
    if (isShown) dialog.current?.showModal();
  }, [isShown]);
  if (!isShown) return null;
  const caution = category === undefined ? undefined : CAUTIONS[category];
  return (
    <dialog ref={dialog} class={`wall ${category ?? ''}`} aria-label={label} onClose={close}>
      <div class="wall-body">{children}</div>
      {caution !== undefined && <p class="wall-caution">{caution}</p>}
      <button type="button" class="hidden" onClick={close}>
        Close the wall
      </button>
    </dialog>
  );
}
