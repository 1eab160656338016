/** The size of a long suite: small in every run, whole where `FULL_SIZE=1` stands in the environment. */
export const sized = <Size>(small: Size, whole: Size): Size =>
  process.env.FULL_SIZE === '1' ? whole : small;
