/** The rooms in the order data walks through them: a room imports only from rooms above it in this list,
 * and only through their index.ts; some also see internal.ts of symbols, frames or modem. */
const rooms = [
  'dsp',
  'data',
  'symbols',
  'calls',
  'frames',
  'modem',
  'transmitter',
  'receiver',
  'channel',
  'wav',
  'containers',
  'frequencies',
  'radio',
  'navigation',
  'procedures',
  'records',
  'simulation',
  'watch',
  'archive',
  'measure',
  'pictures',
  'exam',
];
const shared = 'errors';

module.exports = {
  forbidden: [
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    ...rooms.map((room, i) => ({
      name: `${room}-imports-upward-only`,
      severity: 'error',
      from: { path: `^src/${room}/` },
      to: { path: `^src/(${[...rooms.slice(i + 1), 'cli'].join('|')})/` },
    })),
    ...[...rooms, 'cli'].map((room) => ({
      name: `${room}-enters-by-the-face`,
      severity: 'error',
      from: { path: `^src/${room}/` },
      to: {
        path: '^src/[^/]+/',
        pathNot: [
          `^src/${room}/`,
          '^src/[^/]+/(index|node|sqlite/index|texts/index)\\.ts$',
          '^src/(symbols|frames|modem)/internal\\.ts$',
          `^src/${shared}\\.ts$`,
        ],
      },
    })),
    {
      name: 'heart-runs-in-a-browser',
      severity: 'error',
      from: { path: '^src/(dsp|data|symbols|calls|frames|modem|receiver|channel|measure|pictures|exam)/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'procedures-stay-light',
      severity: 'error',
      from: { path: '^src/(symbols|calls|frames|modem|receiver|frequencies|navigation|procedures)/' },
      to: { path: ['node_modules/zod', '^src/data/'] },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
  },
};
