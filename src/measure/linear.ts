/** Small symmetric systems of equations. */

/** A square matrix, row by row. */
export type Matrix = Float64Array;

/**
 * The inverse of a symmetric positive definite matrix, by Cholesky's factors; its rows are scaled first, so that
 * parameters of very different units do no harm.
 *
 * @returns undefined where the matrix is not positive definite: some parameter cannot be told
 */
export function inverse(matrix: Matrix, size: number): Matrix | undefined {
  const scale = Float64Array.from({ length: size }, (_, i) => 1 / Math.sqrt(matrix[i * size + i]));
  const lower = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j] * scale[i] * scale[j];
      for (let k = 0; k < j; k++) sum -= lower[i * size + k] * lower[j * size + k];
      if (i === j && !(sum > 1e-13)) return undefined;
      lower[i * size + j] = i === j ? Math.sqrt(sum) : sum / lower[j * size + j];
    }
  }
  const result = new Float64Array(size * size);
  const column = new Float64Array(size);
  for (let at = 0; at < size; at++) {
    for (let i = 0; i < size; i++) {
      let sum = i === at ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= lower[i * size + k] * column[k];
      column[i] = sum / lower[i * size + i];
    }
    for (let i = size - 1; i >= 0; i--) {
      let sum = column[i];
      for (let k = i + 1; k < size; k++) sum -= lower[k * size + i] * column[k];
      column[i] = sum / lower[i * size + i];
    }
    for (let i = 0; i < size; i++) result[i * size + at] = column[i] * scale[i] * scale[at];
  }
  return result;
}

/** Matrix times vector. */
export function times(matrix: Matrix, size: number, vector: Float64Array): Float64Array {
  return Float64Array.from({ length: size }, (_, i) => {
    let sum = 0;
    for (let j = 0; j < size; j++) sum += matrix[i * size + j] * vector[j];
    return sum;
  });
}
