// Files: choosing or dropping a recording, and measuring it in a Worker (file_worker.js) so that the page stays quick. It
// is that of a tone, or in the song bench the reference or a tape.
// WAV is read by the core itself at the file's own rate, slice by slice; anything else the browser decodes.
/** @import {DecodedFile, FileAim, FileJob, FileNews, FileRole, FileSound, Stretch, WavFile} from "./types" */
/** @import {Program} from "./program.js" */
import { $input } from "./dom.js";
import { error_of } from "./errors.js";
import { kept } from "./settings_store.js";
import { catalogue, tr } from "./words.js";

const kLongestDecodedS = 2 * 3600;    // all of it must fit into memory at once
const kLongDecodedS = 1800;           // from here on decoded at a lower rate where the tone allows it
const kLongestSongS = 600;            // core/song/song_match.hpp
const kLargestEncodedBytes = 500e6;
const kDecodeRateHz = 48000;
const kThriftyRateHz = 16000;         // holds tones to 0.4 of it
const kThriftyHighestToneHz = 5000;
const kMetadataMs = 8000;

class Unfit extends Error {}          // its message is for the person

// `why`: the browser's own words.
/** @param {string} name @param {string} why */
const unread = (name, why) => tr("{0} could not be read: {1}", name, why);

/** @param {number} seconds */
function duration_words(seconds) {
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? tr("{0} min", minutes) : tr("{0} h {1} min", Math.floor(minutes / 60), minutes % 60);
}

/** @param {File} file */
async function looks_like_wav(file) {
  const head = new TextDecoder("latin1").decode(await file.slice(0, 12).arrayBuffer());
  return /^(RIFF|RF64|RIFX)....WAVE/s.test(head);
}

// In seconds, as the browser's player says it; nothing where it does not know the format.
/** @param {File} file @returns {Promise<number | undefined>} */
function duration_of(file) {
  const url = URL.createObjectURL(file);
  const player = new Audio();
  player.preload = "metadata";
  return new Promise((resolve) => {
    player.onloadedmetadata = () => resolve(Number.isFinite(player.duration) ? player.duration : undefined);
    player.onerror = () => resolve(undefined);
    setTimeout(() => resolve(undefined), kMetadataMs);
    player.src = url;
  }).finally(() => {
    player.removeAttribute("src");
    URL.revokeObjectURL(url);
  });
}

/** @param {File} file @param {number} nominal_hz @param {FileRole} role */
async function decode(file, nominal_hz, role) {
  if (file.size > kLargestEncodedBytes) {
    throw new Unfit(tr("{0} is too large to be decoded here ({1} MB). Cut it, or save it as WAV.", file.name, Math.round(file.size / 1e6)));
  }
  const duration_s = (await duration_of(file)) ?? 0; // one that is not known keeps nobody from trying
  if (duration_s > kLongestDecodedS) {
    throw new Unfit(tr("{0} is {1} long; up to 2 h of a compressed recording can be measured. Cut it, or save it as WAV.", file.name, duration_words(duration_s)));
  }
  if (role === "reference" && duration_s > kLongestSongS) {
    const words = tr("it is {0} long; songs may be up to {1}. Keep only the song that is on the tape.", duration_words(duration_s), duration_words(kLongestSongS));
    throw new Unfit(`${file.name}: ${words}`);
  }
  // A song is compared at 12 kHz anyway.
  const thrifty = role === "tone" ? duration_s > kLongDecodedS && nominal_hz < kThriftyHighestToneHz : duration_s > kLongestSongS;
  const rate_hz = thrifty ? kThriftyRateHz : kDecodeRateHz;
  const bytes = await file.arrayBuffer();
  try {
    return await new OfflineAudioContext(1, 1, rate_hz).decodeAudioData(bytes);
  } catch {
    throw new Unfit(duration_s > kLongDecodedS
      ? tr("{0} is {1} long, more than this browser could decode at once. Cut it, or save it as WAV.", file.name, duration_words(duration_s))
      : tr("{0} is not a recording that this browser can read.", file.name));
  }
}

export class Files {
  nominal_hz = Number(kept("tone")) || 3000;  // until the program says it
  /** @type {FileRole} */
  role = "tone";  // of a file that is dropped, as the program says
  /** @type {FileRole} */
  #picked = "tone";  // of one that is chosen
  #report;
  #input = $input("file-input");
  #turn = 0;
  /** @type {Worker | undefined} */
  #worker;
  /** @type {File | undefined} */
  #last;  // the file opened last, to be measured against another tone

  /** @param {Program} report */
  constructor(report) {
    this.#report = report;
    this.#input.addEventListener("change", () => {
      const [file] = this.#input.files ?? [];
      if (file) this.measure(file, this.#picked);
      this.#input.value = ""; // the same file can be chosen again
    });
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const [file] = event.dataTransfer?.files ?? [];
      if (file) this.measure(file, this.role);
    });
  }

  // What the file is to be: "tone", "reference" or "tape".
  /** @param {FileRole} role */
  pick(role) {
    this.#picked = role;
    this.#input.click();
  }
  cancel() {
    ++this.#turn;
    this.#worker?.terminate();
    this.#worker = undefined;
  }

  // `sure` and `near_hz` say what is known of the tape besides; 0 and 0 of a file that was just opened.
  /** @param {number} nominal_hz @param {number} sure @param {number} near_hz */
  measure_again(nominal_hz, sure, near_hz) {
    this.nominal_hz = nominal_hz;
    if (this.#last) this.measure(this.#last, "tone", { sure, near_hz });
    else this.#fail(tr("The file is not at hand any more: open it again."));
  }

  /** @param {File} file @param {FileRole} role */
  async measure(file, role, known = { sure: 0, near_hz: 0 }) {
    this.cancel();
    if (role === "tone") this.#last = file;
    const turn = this.#turn;
    /** @type {FileAim} */
    const song = role === "tone" ? known : { song: role };
    if (role === "tone") this.#report.file_started(file.name);
    else this.#report.song_file_started(file.name, role === "tape");
    if (role === "tape") song.reference = this.#report.song_samples();
    try {
      if (file.size === 0) throw new Unfit(tr("{0} is empty.", file.name));
      if (await looks_like_wav(file)) {
        if (turn === this.#turn) this.#start_worker(turn, file.name, { wav: file, ...song });
        return;
      }
      const sound = await decode(file, this.nominal_hz, role);
      if (turn !== this.#turn) return;
      if (sound.numberOfChannels > 2) {
        throw new Unfit(tr("{0} has {1} channels; one or two can be measured.", file.name, sound.numberOfChannels));
      }
      if (sound.length === 0) throw new Unfit(tr("{0} holds no sound.", file.name));
      this.#start_worker(turn, file.name, { rate_hz: sound.sampleRate, channels: sound.numberOfChannels, frames: sound.length, ...song }, sound);
    } catch (error) {
      const { message } = error_of(error);
      if (turn === this.#turn) this.#fail(error instanceof Unfit ? message : unread(file.name, message));
    }
  }

  /** @param {string} message */
  #fail(message) {
    this.cancel();
    this.#report.file_failed(message);
  }

  /**
   * @param {number} turn
   * @param {string} name
   * @param {(WavFile | DecodedFile) & FileAim} job
   * @param {AudioBuffer} [sound]
   */
  #start_worker(turn, name, job, sound) {
    const worker = new Worker("file_worker.js");
    this.#worker = worker;
    worker.onerror = () => {
      if (worker === this.#worker) this.#fail(tr("{0} could not be measured: the worker did not start.", name)); // not one that was ended
    };
    worker.onmessage = (/** @type {MessageEvent<FileNews>} */ { data }) => {
      if (turn !== this.#turn) return;
      if (data.fault !== undefined) this.#fail(`${name}: ${data.fault}`);
      if (data.broke !== undefined) this.#fail(unread(name, data.broke));
      if (data.fraction !== undefined) this.#report.file_progress(data.fraction);
      if (data.want && sound) this.#hand_over(worker, sound, data.want);
      if (data.samples) {
        this.cancel();
        this.#report.song_read(data.samples);
      }
      if (data.match) {
        this.cancel();
        this.#report.song_matched(data.match);
      }
      if (data.snapshot) {
        this.cancel();
        this.#report.file_measured(data.snapshot);
      }
    };
    /** @type {FileJob} */
    const whole = { ...job, catalogue, nominal_hz: this.nominal_hz };
    worker.postMessage(whole, job.reference ? [job.reference.buffer] : []);
  }
  // A stretch of decoded sound, channel by channel, copied out of the browser's buffer only when it is wanted.
  /** @param {Worker} worker @param {AudioBuffer} sound @param {Stretch} stretch */
  #hand_over(worker, sound, { first, frames }) {
    const channels = Array.from({ length: sound.numberOfChannels }, (_, i) => sound.getChannelData(i).slice(first, first + frames));
    /** @type {FileSound} */
    const stretch = { sound: channels };
    worker.postMessage(stretch, channels.map((channel) => channel.buffer));
  }
}
