// Copies frames out of the audio thread in transferred blocks, interleaved. It does nothing else.
const kBlockFrames = 2048;

class CaptureProcessor extends AudioWorkletProcessor {
  #block = new Float32Array(0);
  #filled = 0;

  /** @param {Float32Array[][]} inputs */
  process([input]) {
    const channels = input.length;
    if (channels === 0) return true; // nothing is connected
    const size = kBlockFrames * channels;
    if (this.#block.length !== size) this.#begin(size);
    for (let frame = 0; frame < input[0].length; ++frame) {
      for (let channel = 0; channel < channels; ++channel) this.#block[this.#filled++] = input[channel][frame];
      if (this.#filled === size) this.#send(size);
    }
    return true;
  }
  /** @param {number} size */
  #send(size) {
    this.port.postMessage(this.#block, [this.#block.buffer]);
    this.#begin(size);
  }
  /** @param {number} size */
  #begin(size) {
    this.#block = new Float32Array(size);
    this.#filled = 0;
  }
}

registerProcessor("four76-capture", CaptureProcessor);
