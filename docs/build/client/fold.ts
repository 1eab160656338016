/**
 * The menu and the contents of a page are folded on a narrow screen.
 */
export function foldOnNarrowScreens(): void {
  if (!matchMedia('(max-width: 50rem)').matches) return;
  for (const folded of document.querySelectorAll<HTMLDetailsElement>('.menus, .contents details')) {
    folded.open = false;
  }
}
