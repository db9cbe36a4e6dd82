// Mirror: the reading as text. data-value follows at once; the words, which a screen reader says, once a second.
/** @import {ChannelName, ChannelReading, ReadingField, State} from "./types" */
import { $, element, set_text } from "./dom.js";
import { tr } from "./words.js";

const kWordsMs = 1000;
/** @type {Partial<Record<ChannelName, string>>} */
const kChannels = { left: tr("left##channel"), right: tr("right##channel") };
/** @type {ReadingField[]} */
const kFields = [
  "status", "speed_error_percent", "budget_u95_percent", "u95_percent", "frequency_hz", "level_dbfs", "carrier_to_noise_dbhz", "reasons",
  "weighted_two_sigma_percent", "weighted_quasi_peak_percent", "unweighted_two_sigma_percent", "weighted_rms_percent",
  "unweighted_rms_percent", "wow_two_sigma_percent", "flutter_two_sigma_percent", "noise_floor_percent",
  "drift_percent_per_minute", "components",
];
/** @type {ReadingField[]} */
const kOfTheShown = [
  "verdicts", "causes", "song_state", "song_position_s", "song_status", "reference_start_s", "matched_fraction",
  "wow_rms_percent",
]; // told of the channel on show alone

/** @param {ChannelReading[ReadingField] | boolean | null} value */
function bare(value) {
  if (value === null || value === undefined) return "";
  return Array.isArray(value) ? value.join(" ") : String(value);
}

export class Mirror {
  #list = $("reading");
  #channels = $("reading-channels");
  /** @type {Map<string, HTMLElement>} */
  #cells = new Map();
  /** @type {State | undefined} */
  #state;
  #said_ms = -Infinity;
  /** @type {number | undefined} */
  #timer;

  constructor() {
    for (const cell of this.#list.querySelectorAll("dd")) this.#cells.set(cell.dataset.field ?? "", cell);
  }

  /** @param {State} state */
  show(state) {
    if (state.channels.length < 2) state.channels = []; // one channel is the reading itself
    this.#state = state;
    for (const field of [...kFields, ...kOfTheShown]) this.#cell(field).dataset.value = bare(state.reading[field]);
    this.#list.dataset.channel = state.reading.channel;
    this.#list.dataset.phase = state.phase;
    this.#list.dataset.channelsAgree = bare(state.channels_agree);
    this.#show_channels(state.channels);
    const wait_ms = this.#said_ms + kWordsMs - performance.now();
    if (wait_ms <= 0) this.#say();
    else this.#timer ??= setTimeout(() => this.#say(), wait_ms);
  }

  /** @param {ReadingField} field */
  #cell(field) {
    const cell = this.#cells.get(field);
    if (!cell) throw new Error(`${field} has no place`);
    return cell;
  }
  #say() {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    this.#said_ms = performance.now();
    if (!this.#state) return;
    const { reading, spoken, channels } = this.#state;
    for (const field of [...kFields, ...kOfTheShown]) {
      set_text(this.#cell(field), field === "status" ? spoken : reading.text[field]);
    }
    for (const [i, channel] of channels.entries()) {
      for (const field of kFields) set_text(this.#channel_cell(i, field), channel.text[field]);
    }
  }

  /** @param {ChannelReading[]} channels */
  #show_channels(channels) {
    const names = channels.map((channel) => channel.channel).join(" ");
    if (this.#channels.dataset.channels !== names) this.#build_channels(channels, names);
    for (const [i, channel] of channels.entries()) {
      for (const field of kFields) this.#channel_cell(i, field).dataset.value = bare(channel[field]);
    }
  }
  /** @param {ChannelReading[]} channels @param {string} names */
  #build_channels(channels, names) {
    this.#channels.dataset.channels = names;
    this.#channels.replaceChildren(...channels.flatMap(({ channel }) => kFields.flatMap((field) => {
      const name = this.#cell(field).previousElementSibling?.textContent;
      const term = element("dt", { textContent: `${kChannels[channel] ?? channel}, ${name}` });
      const cell = element("dd");
      Object.assign(cell.dataset, { field, channel });
      return [term, cell];
    })));
  }
  /** @param {number} channel @param {ReadingField} field */
  #channel_cell(channel, field) {
    const cell = this.#channels.children[2 * (channel * kFields.length + kFields.indexOf(field)) + 1];
    return /** @type {HTMLElement} */ (cell);
  }
}
