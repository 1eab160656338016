/**
 * Statistics of marks: Lord and Novick, Statistical Theories of Mental Test Scores (1968), chapters 15 and 5 (from memory).
 */

/** The mean of a list that is not empty. */
export const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const sumOfSquares = (values: readonly number[]) => {
  const middle = mean(values);
  return values.reduce((sum, value) => sum + (value - middle) ** 2, 0);
};

/** The standard deviation of a sample, undefined for fewer than two. */
export function deviation(values: readonly number[]): number | undefined {
  return values.length < 2 ? undefined : Math.sqrt(sumOfSquares(values) / (values.length - 1));
}

/**
 * The point-biserial correlation of right and wrong with scores, which is the product-moment correlation of 0 and 1 with
 * them. Undefined where all are right, all are wrong, or all scores are the same.
 */
export function pointBiserial(isRight: readonly boolean[], scores: readonly number[]): number | undefined {
  const values = isRight.map(Number);
  const spread = Math.sqrt(sumOfSquares(values) * sumOfSquares(scores));
  if (!(spread > 1e-12)) return undefined;
  const [a, b] = [mean(values), mean(scores)];
  return values.reduce((sum, value, i) => sum + (value - a) * (scores[i] - b), 0) / spread;
}

/**
 * Kuder and Richardson's formula 20: which share of the variance of marks is not chance. Undefined for fewer than two
 * questions or candidates, or where all have the same marks.
 *
 * @param answers - a list for each candidate, right or wrong by question
 */
export function reliability(answers: readonly (readonly boolean[])[]): number | undefined {
  if (answers.length < 2 || answers[0].length < 2) return undefined;
  const questions = answers[0].length;
  const variance = sumOfSquares(answers.map((own) => own.filter(Boolean).length)) / answers.length;
  if (!(variance > 1e-12)) return undefined;
  const chance = answers[0].reduce((sum, _, i) => {
    const share = mean(answers.map((own) => Number(own[i])));
    return sum + share * (1 - share);
  }, 0);
  return (questions / (questions - 1)) * (1 - chance / variance);
}
