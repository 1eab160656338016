/**
 * A made-up slice of spectrum as blocks of complex samples.
 */
import { Random } from '../../dsp/index.js';
import type { IqBlock } from '../formats.js';
import { checkSliceScene, type SceneReceiver, type SliceScene } from './scene.js';
import { callSignal, carrierSignal, type Piece, type Signal } from './signals.js';

/** Samples made at a time, so that memory does not grow with the slice. */
const BLOCK_SAMPLES = 65_536;

/** Signal-to-noise ratios count the noise in this width, hertz. */
const NOISE_WIDTH_HZ = 3000;

/** Complex white noise: half its power in each part. */
function noiseOf({ sampleRate, noiseDb, seed = 0 }: SliceScene): (piece: Piece) => void {
  if (noiseDb === undefined) return () => undefined;
  const random = new Random(seed, 'noise of a slice');
  const deviation = Math.sqrt((10 ** (noiseDb / 10) / NOISE_WIDTH_HZ) * sampleRate * 0.5);
  return ({ i, q }) => {
    for (let n = 0; n < i.length; n++) {
      i[n] += deviation * random.gaussian();
      q[n] += deviation * random.gaussian();
    }
  };
}

/** What the receiver makes of it. */
function received({ dcI = 0, dcQ = 0, imbalanceDb = 0, skewDegrees = 0 }: SceneReceiver) {
  const gain = 10 ** (imbalanceDb / 20);
  const skew = (skewDegrees * Math.PI) / 180;
  const [cos, sin] = [gain * Math.cos(skew), gain * Math.sin(skew)];
  return ({ i, q }: Piece): IqBlock => ({
    i: new Float32Array(i.map((sample) => sample + dcI)),
    q: new Float32Array(q.map((sample, n) => cos * sample + sin * i[n] + dcQ)),
  });
}

/**
 * The samples of a slice, block by block, in memory that does not grow with its length: the same scene gives the same
 * samples. Nothing is clipped: they may lie beyond ±1.
 *
 * Never feed distress, urgency or safety calls to a transmitter on the air, as samples either: dummy load or cable.
 *
 * @param scene - as {@link checkSliceScene} takes it
 * @throws DotphaseError naming the first field that is wrong, before the first block
 */
export function sliceBlocks(scene: SliceScene): Generator<IqBlock, void, undefined> {
  return blocksOf(checkSliceScene(scene));
}

function* blocksOf(scene: SliceScene): Generator<IqBlock, void, undefined> {
  const { sampleRate, seconds, calls = [], carriers = [], receiver = {} } = scene;
  const length = Math.max(1, Math.round(seconds * sampleRate));
  const addNoise = noiseOf(scene);
  const receive = received(receiver);
  /** In the order in which they begin; each is made only when it does. */
  const waiting = [
    ...calls.map((call, n) => ({ at: call.atSeconds, make: () => callSignal(call, scene, n) })),
    ...carriers.map((carrier) => ({
      at: carrier.fromSeconds ?? 0,
      make: () => carrierSignal(carrier, scene),
    })),
  ].sort((a, b) => a.at - b.at);
  let next = 0;
  let sent: Signal[] = [];
  for (let first = 0; first < length; first += BLOCK_SAMPLES) {
    const count = Math.min(BLOCK_SAMPLES, length - first);
    const piece = { first, i: new Float64Array(count), q: new Float64Array(count) };
    addNoise(piece);
    for (; next < waiting.length && Math.round(waiting[next].at * sampleRate) < first + count; next++)
      sent.push(waiting[next].make());
    for (const signal of sent) signal.addTo(piece);
    sent = sent.filter(({ end }) => end > first + count);
    yield receive(piece);
  }
}
