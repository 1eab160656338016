/**
 * What the drawings of the pages are made of: colours and shapes, as SVG.
 */
export const PAPER = '#fbf8ef';
export const INK = '#16293a';
export const SOFT = '#4a5b66';
export const JOIN = '#9c1656';
export const [PHASING, FORMAT, CONTENT, END] = ['#e7e0ca', '#ecd79b', '#d3e2b9', '#d6dce0'];
export const [B, Y] = ['#b8602a', '#17576e'];

/** A drawing of so many units. */
export function drawing(width: number, height: number, title: string, content: readonly string[]): string {
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" font-size="13" font-family="'DejaVu Sans', 'Liberation Sans', Arial, sans-serif" fill="${INK}">` +
    `<title>${title}</title><rect width="${width}" height="${height}" fill="${PAPER}"/>${content.join('')}</svg>`
  );
}

export const rect = (x: number, y: number, width: number, height: number, fill: string) =>
  `<rect x="${x}" y="${y}" width="${width}" height="${height}" fill="${fill}"/>`;
export const line = (x1: number, y1: number, x2: number, y2: number, stroke: string, more = '') =>
  `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="${stroke}"${more}/>`;
export const text = (x: number, y: number, content: string | number, more = 'text-anchor="middle"') =>
  `<text x="${x}" y="${y}" ${more}>${content}</text>`;
