/**
 * The frame of a sheet.
 */
import { Markup, html, type Piece } from './html.js';
import { STYLE } from './style.js';

/** A whole HTML document. It loads nothing and runs nothing. */
export function page(title: string, content: Piece): string {
  const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <title>${title}</title>
        <style>
          ${new Markup(STYLE)}
        </style>
      </head>
      <body>
        <main>${content}</main>
      </body>
    </html> `.text;
}

/** The title of a paper, with its version where it has one. */
export const heading = ({
  title,
  version,
}: {
  readonly title: string;
  readonly version?: string | undefined;
}) => (version === undefined ? title : `${title}, version ${version}`);

/** Seconds for people, `8.4 s`. */
export const seconds = (value: number) => `${value.toFixed(1)} s`;

/** A number of things. */
export const count = (number: number, thing: string) => `${number} ${thing}${number === 1 ? '' : 's'}`;
