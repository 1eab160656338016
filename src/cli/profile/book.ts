/**
 * The address book of the person at the command line.
 */
import { readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../../errors.js';
import { addressBookFromCsv, addressBookFromJson, type AddressBook } from '../../records/index.js';

/** 10 000 stations with long notes take less. */
const MAX_BYTES = 20_000_000;

/**
 * Reads an address book, JSON or CSV by what stands in it.
 *
 * @throws DotphaseError when the file cannot be read, or naming the first field or cell that is bad
 */
export async function readBook(path: string): Promise<AddressBook> {
  let text: string;
  try {
    const { size } = await stat(path);
    if (size > MAX_BYTES) throw new Error(`it is longer than ${MAX_BYTES} bytes`);
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new DotphaseError('address book', path, `a file that can be read: ${reasonOf(error)}`);
  }
  try {
    return /^\uFEFF?\s*[[{]/.test(text) ? addressBookFromJson(text) : addressBookFromCsv(text);
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    throw new DotphaseError(`${path}: ${error.field}`, error.value, error.expected);
  }
}

/** Writes a file whole or not at all. */
export async function writeWhole(path: string, text: string): Promise<void> {
  const beside = `${path}.new`;
  try {
    await writeFile(beside, text);
    await rename(beside, path);
  } catch (error) {
    await rm(beside, { force: true }).catch(() => undefined);
    throw new DotphaseError('address book', path, `a file that can be written: ${reasonOf(error)}`);
  }
}
