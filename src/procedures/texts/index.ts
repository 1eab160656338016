/**
 * Procedures in words: the rules with their sources, and what a station tells and offers its operator. Apart from
 * `dotphase/procedures`, so that a page that only steps a station does not pay for them.
 *
 * @example
 * ```ts
 * import { createStation, stepStation } from 'dotphase/procedures';
 * import { RULES, describeRefusal } from 'dotphase/procedures/texts';
 *
 * const ship = createStation({ identity: '299123456' }, 0);
 * const { actions } = stepStation(ship, { type: 'choose', exchange: 7, choice: 'able' }, 1000);
 * for (const action of actions) {
 *   if (action.type === 'refuse') console.log(describeRefusal(action)); // There is no exchange 7.
 *   console.log(RULES[action.rule].source); // common practice, no source
 * }
 * ```
 *
 * @packageDocumentation
 */
export { RULES, type Rule } from '../rules.js';
export { describeCancellation, describeChoice, describeNotice, describeRefusal } from './texts.js';
