/**
 * What lay between the senders and the receiver, in words.
 */
import { FADING_CONDITIONS, type ChannelStage } from '../channel/index.js';

const signed = (value: number) => (value > 0 ? `+${value}` : `${value}`.replace('-', '−'));

function noiseText({
  snrDb,
  ebN0Db,
  absoluteDb,
  bandwidthHz = 3000,
}: Extract<ChannelStage, { kind: 'noise' }>): string {
  if (snrDb !== undefined) return `noise, ${signed(snrDb)} dB SNR in ${bandwidthHz} Hz`;
  if (ebN0Db !== undefined) return `noise, ${signed(ebN0Db)} dB of energy per bit over noise density`;
  return `noise of ${signed(absoluteDb ?? 0)} dB in ${bandwidthHz} Hz`;
}

/** A stage for people. */
export function describeStage(stage: ChannelStage): string {
  switch (stage.kind) {
    case 'noise':
      return noiseText(stage);
    case 'fading': {
      if (stage.condition === undefined) return 'fading by paths of its own';
      const { delayMs, spreadHz } = FADING_CONDITIONS[stage.condition];
      return `fading: ${stage.condition} (ITU-R F.1487: ${delayMs} ms, ${spreadHz} Hz)`;
    }
    case 'offset':
      return `mistuned by ${signed(stage.offsetHz ?? 0)} Hz`;
    case 'inversion':
      return 'the wrong sideband';
    case 'clock':
      return `a clock ${signed(stage.ppm)} ppm out`;
    case 'passband':
      return 'the passband of a receiver';
    case 'agc':
      return 'automatic gain control';
    case 'impulses':
      return 'static';
    case 'carrier':
      return `a carrier at ${stage.frequencyHz} Hz`;
    case 'fsk':
      return 'other keying';
    case 'nbdp':
      return 'direct printing beside it';
    case 'voice':
      return 'somebody talking under it';
    case 'delay':
      return `${stage.delayMs} ms later`;
    case 'gain':
      return `a change of gain by ${signed(stage.gainDb)} dB`;
    case 'dc':
      return 'a bias';
    case 'clip':
      return 'overdriven';
    case 'quantise':
      return `${stage.bits} bits a sample`;
    case 'audio':
      return 'other audio';
  }
}
