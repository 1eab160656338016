/** Lines of JSON that a command printed, as values. */
export const lines = (stdout: string) =>
  stdout
    .trim()
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as { file: string; startUtc?: string; frequencyHz?: number });
