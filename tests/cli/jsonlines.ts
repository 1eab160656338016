/** Lines of JSON that a command printed, as values. */
export const jsonLines = <Line = Record<string, unknown>>(stdout: string) =>
  stdout
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => JSON.parse(line) as Line);
