/**
 * Statements of an open file, each prepared once.
 */
import type { DatabaseSyncInstance } from '@photostructure/sqlite';
import type { OpenDatabase } from './driver.js';
import { refusal } from './refusal.js';

/** A prepared statement. */
type Statement = ReturnType<DatabaseSyncInstance['prepare']>;

/** Does with a statement what the database does, and says in plain words why it cannot. */
type UseStatement = <Result>(sql: string, act: (statement: Statement) => Result) => Result;

/**
 * @param file - where it lies is told in errors
 * @param what - what it holds, for errors
 */
export function statementsOf(
  { database, path }: Pick<OpenDatabase, 'database'> & { readonly path: string },
  what = 'log',
): UseStatement {
  const statements = new Map<string, Statement>();
  return (sql, act) => {
    try {
      const statement = statements.get(sql) ?? database.prepare(sql);
      statements.set(sql, statement);
      return act(statement);
    } catch (error) {
      throw refusal(path, what, error);
    }
  };
}
