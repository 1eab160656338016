/**
 * The contents of a page are folded on a narrow screen.
 */
export function foldContents(): void {
  const contents = document.querySelector<HTMLDetailsElement>('.contents details');
  if (contents && matchMedia('(max-width: 50rem)').matches) contents.open = false;
}
