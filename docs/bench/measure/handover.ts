/**
 * A recording that another view hands over to be measured.
 */

/** Audio in memory. */
export interface HandedOver {
  readonly name: string;
  readonly samples: Float32Array<ArrayBuffer>;
  readonly sampleRate: number;
}

let taker: ((recording: HandedOver) => void) | undefined;

/** Shows the view that measures, and gives it a recording. */
export function handOver(recording: HandedOver): void {
  location.hash = 'measure';
  taker?.(recording);
}

/** Takes what is handed over from now on. Gives what ends that. */
export function takeHandedOver(take: (recording: HandedOver) => void): () => void {
  taker = take;
  return () => {
    if (taker === take) taker = undefined;
  };
}
