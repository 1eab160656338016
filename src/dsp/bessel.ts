/** The modified Bessel function of the first kind and order zero, I₀. */

/** I₀(x) by its power series, to double precision; for the design of windows. */
export function besselI0(x: number): number {
  const quarter = (x * x) / 4;
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= quarter / (k * k);
    sum += term;
  }
  return sum;
}

/**
 * I₀(x) · exp(−x) for x ≥ 0, which stays within 0–1: polynomials of Abramowitz and Stegun, Handbook of Mathematical
 * Functions, 9.8.1 and 9.8.2 (relative error below 2·10⁻⁷).
 */
export function scaledBesselI0(x: number): number {
  if (x < 3.75) {
    const t = (x / 3.75) ** 2;
    const value =
      1 +
      t * (3.5156229 + t * (3.0899424 + t * (1.2067492 + t * (0.2659732 + t * (0.0360768 + t * 0.0045813)))));
    return value * Math.exp(-x);
  }
  const t = 3.75 / x;
  const tail =
    0.39894228 +
    t *
      (0.01328592 +
        t *
          (0.00225319 +
            t *
              (-0.00157565 +
                t *
                  (0.00916281 + t * (-0.02057706 + t * (0.02635537 + t * (-0.01647633 + t * 0.00392377)))))));
  return tail / Math.sqrt(x);
}

/** ln I₀(x) for x ≥ 0, the likelihood of a tone of unknown phase. */
export function logBesselI0(x: number): number {
  return x + Math.log(scaledBesselI0(x));
}
