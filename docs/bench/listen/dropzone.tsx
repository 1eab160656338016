/**
 * Where recordings are dropped or chosen.
 */
export function DropZone({ onFiles }: { onFiles: (files: readonly File[]) => void }) {
  return (
    <label class="drop">
      <input
        type="file"
        accept="audio/*,.wav"
        multiple
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = '';
          if (files.length > 0) onFiles(files);
        }}
      />
      <span>
        <b>Drop recordings here</b> or anywhere on the page, or choose them. WAV of any kind, and whatever
        else this browser plays.
      </span>
    </label>
  );
}
