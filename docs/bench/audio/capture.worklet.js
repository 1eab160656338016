// Hands over what the input gives, in blocks of 2048 samples, on the audio thread. Kept in plain JavaScript because
// it is loaded by its text.
/* global AudioWorkletProcessor, registerProcessor */

class Capture extends AudioWorkletProcessor {
  block = new Float32Array(2048);
  filled = 0;

  /** @param {[[Float32Array | undefined]]} inputs */
  process([[channel]]) {
    // An input that is not connected has no channel.
    if (channel === undefined) return true;
    for (let at = 0; at < channel.length;) {
      const taken = Math.min(channel.length - at, this.block.length - this.filled);
      this.block.set(channel.subarray(at, at + taken), this.filled);
      this.filled += taken;
      at += taken;
      if (this.filled === this.block.length) {
        this.port.postMessage(this.block, [this.block.buffer]);
        this.block = new Float32Array(2048);
        this.filled = 0;
      }
    }
    return true;
  }
}

registerProcessor('capture', Capture);
