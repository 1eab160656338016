/**
 * What an exchange tells, in words.
 */
import type { FollowUp } from '../../frequencies/index.js';
import type { RuleName } from '../../procedures/index.js';
import { RULES } from '../../procedures/texts/index.js';

/** Says rules with where they come from, each once in full. */
export class RuleTexts {
  private readonly said = new Set<RuleName>();

  /** A rule, or only its source where it was said before. */
  of(name: RuleName): string {
    const { text, source } = RULES[name];
    const isNew = !this.said.has(name);
    this.said.add(name);
    return isNew ? `${text} [${source}]` : `[${source}]`;
  }
}

/** What follows a call, and where. */
export function followText({ means, emission, text }: FollowUp): string {
  if (means === 'none') return 'Nothing follows by voice.';
  const prefix = `voice (${emission ?? ''}) on `;
  if (!text.startsWith(prefix)) return `Then follows: ${text}.`;
  return `Voice follows: ${text.slice(prefix.length)}, ${emission ?? ''}.`;
}

/** Seconds for people: `60 s`, or `5 min` where it is many. */
export function waitText(milliseconds: number): string {
  const seconds = Math.round(milliseconds / 1000);
  return seconds >= 120 && seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`;
}
