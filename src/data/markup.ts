/**
 * Text within markup.
 */

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text made safe between tags and within quoted attributes, in HTML and XML alike; control characters become �. */
export function escapeMarkup(text: string): string {
  return text
    .replace(/[&<>"']/g, (character) => ENTITIES[character])
    .replace(/[^\P{Cc}\t\n\r]|[\uFFFE\uFFFF]|\p{Cs}/gu, '\uFFFD');
}
