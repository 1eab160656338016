/**
 * The head of a page: its name, and its views.
 */

export function Masthead({
  what,
  views,
  view,
}: {
  /** What the page is, behind the name. */
  what: string;
  views: readonly { readonly id: string; readonly title: string }[];
  /** The view that is shown. */
  view: string;
}) {
  return (
    <header class="masthead">
      <p class="name">
        dotphase <span>{what}</span>
      </p>
      <nav aria-label="Views">
        <ul>
          {views.map(({ id, title }) => (
            <li key={id}>
              <a href={`#${id}`} aria-current={id === view ? 'page' : undefined}>
                {title}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <div class="neatline" aria-hidden="true" />
    </header>
  );
}
