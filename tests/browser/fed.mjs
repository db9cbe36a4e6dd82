// Fed: the test hands samples to the page's capture in place of the microphone's, block by block. The page takes a block
// before the call returns, three for each frame of the screen: none is ever lost, however busy the computer is, and how
// fast sound comes is how fast the page takes it.
//
//   const page = await house.open_ready({ before: takes_samples });
//   await page.listen();
//   const fed = await feed(page, [tone(...)]);      repeats without end; runs by itself until it is stopped
import { kMicrophoneHz } from "./sound.mjs";

// Ahead of the page's scripts: what its capture connects gets blocks from here, at the rate of the tests' sounds.
export function takes_samples(context) {
  return context.addInitScript((rate_hz) => {
    if (!isSecureContext) return; // the blank page before the first address
    const kBlock = 2048; // frames, as the worklet's
    const kBlocksAFrame = 3; // a browser that lags hands over several at once, too
    const Context = AudioContext, Node = AudioWorkletNode;
    const fed = (globalThis.fed = { port: {}, channels: 0, sound: undefined, frames: 0, running: false });
    globalThis.AudioContext = class extends Context {
      constructor(options) {
        super({ ...options, sampleRate: rate_hz });
      }
    };
    globalThis.AudioWorkletNode = class extends Node {
      constructor(...what) {
        super(...what);
        super.port.onmessage = () => {}; // what the microphone hears goes nowhere
        fed.channels = what[2].channelCount;
      }
      get port() {
        return fed.port;
      }
    };
    fed.give = () => {
      const block = new Float32Array(kBlock * fed.channels);
      for (let frame = 0; frame < kBlock; ++frame, ++fed.frames)
        for (let channel = 0; channel < fed.channels; ++channel) {
          const samples = fed.sound[channel] ?? fed.sound[0]; // one alone is heard on both
          block[frame * fed.channels + channel] = samples[fed.frames % samples.length];
        }
      fed.port.onmessage({ data: block });
    };
    fed.run = async (until = Infinity) => {
      fed.running = true;
      while (fed.running && fed.frames < until) {
        await new Promise(globalThis.next_frame ?? requestAnimationFrame);
        for (let block = 0; fed.running && block < kBlocksAFrame; ++block) fed.give();
      }
    };
  }, kMicrophoneHz);
}

class Fed {
  #page;
  constructor(page) {
    this.#page = page;
  }
  // Of sound that the page has taken.
  seconds() {
    return this.#page.evaluate((rate_hz) => fed.frames / rate_hz, kMicrophoneHz);
  }
  stop() {
    return this.#page.evaluate(() => void (fed.running = false));
  }
  // So many seconds more, where nothing runs by itself; then the sound stands still.
  play(seconds) {
    return this.#page.evaluate((frames) => fed.run(fed.frames + frames), seconds * kMicrophoneHz);
  }
  // One block, where nothing runs by itself.
  give() {
    return this.#page.evaluate(() => fed.give());
  }
}

// Channels as tests/browser/sound.mjs makes them, from their beginning.
export async function feed({ page }, channels, { runs = true } = {}) {
  const packed = channels.map((samples) => Buffer.from(Float32Array.from(samples).buffer).toString("base64"));
  await page.evaluate(async ([texts, runs_now]) => {
    const samples_of = (text) => new Float32Array(Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer);
    fed.sound = texts.map(samples_of);
    fed.frames = 0;
    if (runs_now) fed.run();
  }, [packed, runs]);
  return new Fed(page);
}
