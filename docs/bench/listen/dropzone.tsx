/**
 * Where recordings are dropped or chosen.
 */
export function DropZone({
  onFiles,
  accept = 'audio/*,.wav',
}: {
  onFiles: (files: readonly File[]) => void;
  accept?: string;
}) {
  return (
    <label class="drop">
      <input
        type="file"
        accept={accept}
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
