/**
 * The arithmetic of the search with vector instructions, where they can be had.
 */
import { createVectorModule } from '../../dsp/index.js';
import type { RowSettings, TakeRows } from './rowsettings.js';
import { ROWS_MODULE } from './vectorrowsmodule.js';

type Exports = { readonly take: TakeRows } & Readonly<Record<keyof RowSettings, { value: number }>>;

const instantiate = createVectorModule(ROWS_MODULE);

/** Memory of at least so many bytes and what works on it; nothing where it can't be had. */
export function createVectorRows(
  settings: RowSettings,
  bytes: number,
): { buffer: ArrayBuffer; take: TakeRows } | undefined {
  const instance = instantiate(bytes);
  if (!instance) return undefined;
  const { take, ...globals } = instance.exports as Exports;
  for (const name of Object.keys(settings) as (keyof RowSettings)[]) globals[name].value = settings[name];
  return { buffer: instance.buffer, take };
}
