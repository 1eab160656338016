/**
 * Prints one part of the page by itself.
 */
/** Prints the part that a button stands in, of a kind named by a class. */
export function printPart(button: Element, part: string): void {
  const section = button.closest(part);
  section?.classList.add('printing');
  print();
  section?.classList.remove('printing');
}
