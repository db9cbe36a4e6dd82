// What crosses between the program and the page, and what the page keeps: for the checker alone, nothing of it ships.
//
// The mirror and the words are written by each mirror.cpp in web/, a card by core/records/card_write.cpp, an answer by
// web/doors/records.cpp or web/doors/bench.cpp; the functions that are called stand in web/platform/browser.cpp,
// web/platform/canvas.cpp and web/platform/worker.cpp. Whoever changes a field there changes it here.

// ---- Names ----------------------------------------------------------------------------------------------------------

export type Phase = "idle" | "asking" | "listening" | "demo" | "measuring_file" | "file_shown" | "held" | "failed";
export type Status = "no_tone" | "unreliable" | "measured";
export type ChannelName = "mono" | "left" | "right";
export type Bench = "tone" | "song";
/** What a file is to be. */
export type FileRole = "tone" | "reference" | "tape";
export type Reason =
  | "no_tone" | "too_quiet" | "room_noise" | "competing_tone" | "mains_hum" | "clipping" | "voice_processing"
  | "capture_gap" | "tape_dropout" | "narrow_capture" | "wrong_tone" | "channels_differ" | "too_short" | "not_steady";
export type SongReason =
  | "too_quiet" | "too_short" | "different_recording" | "too_little_overlap" | "tape_dropout" | "tape_edit"
  | "not_steady" | "capture_gap";
export type Rule =
  | "clean_before_measuring" | "speed_sags" | "warming_up" | "wow_hides_the_mean" | "wow_beyond_usual" | "may_trim"
  | "nothing_to_do";
export type CauseKind =
  | "capstan" | "pinch_roller" | "supply_reel" | "take_up_reel" | "belt" | "motor" | "idler" | "unknown_rate"
  | "random_wow" | "scrape" | "level_flutter" | "dropouts" | "sag" | "warm_up" | "trimmer";
export type VisitStage = "as_found" | "as_left" | "between";
export type TapePlace = "unsaid" | "start" | "middle" | "end";
export type VisitSource = "tone" | "song" | "meter" | "timing" | "tapes";
export type VisitVerdict = "within" | "outside" | "cannot_be_told" | "not_measured";
export type AdviceKind =
  | "no_reading" | "wait" | "moving" | "too_unsteady" | "try_a_little" | "more" | "back" | "wrong_way" | "does_nothing"
  | "did_not_stay" | "stop" | "stop_nearly";
export type CoachWay = "none" | "slower" | "faster" | "leave" | "wait" | "distrust";

/** The acts whose use the program tells: ids of buttons, or what stands in data-act. */
export type Act =
  | "act-listen" | "act-stop" | "act-clear" | "act-demo" | "act-open-file" | "act-sure" | "act-flutter" | "act-measure"
  | "act-forget-measured" | "act-as-found" | "act-as-left" | "act-answer" | "open-coach" | "act-turned"
  | "act-forget-clocks" | SongAct | "act-forget-tapes" | "act-update";
export type SongAct =
  | "act-song" | "act-song-close" | "act-song-reference" | "act-song-record" | "act-song-done" | "act-song-listen"
  | "act-song-file" | "act-song-forget" | "act-song-keep";
/** Absent: an act of which the program tells nothing, such as one of a dialog. */
export type Usable = Record<Act, boolean> & { [act: string]: boolean | undefined };

// ---- The mirror -----------------------------------------------------------------------------------------------------

/** Figures of a channel; null where not measured. */
export interface Figures {
  frequency_hz: number | null;
  speed_error_percent: number | null;
  u95_percent: number | null;
  budget_u95_percent: number | null;
  level_dbfs: number | null;
  carrier_to_noise_dbhz: number | null;
  weighted_two_sigma_percent: number | null;
  weighted_quasi_peak_percent: number | null;
  unweighted_two_sigma_percent: number | null;
  weighted_rms_percent: number | null;
  unweighted_rms_percent: number | null;
  wow_two_sigma_percent: number | null;
  flutter_two_sigma_percent: number | null;
  noise_floor_percent: number | null;
  drift_percent_per_minute: number | null;
  song_position_s: number | null;
  reference_start_s: number | null;
  matched_fraction: number | null;
  wow_rms_percent: number | null;
}
/** What a reading tells beside its figures. */
export interface Findings {
  status: Status;
  reasons: (Reason | SongReason)[];
  components: [rate_hz: number, peak_percent: number][];
  verdicts: Rule[];
  causes: CauseKind[];
  song_state: "" | "silent" | "searching" | "following" | "lost";
  song_status: "" | "not_matched" | "unreliable" | "matched";
}
export type ReadingField = keyof Figures | keyof Findings;
export interface ChannelReading extends Figures, Findings {
  channel: ChannelName;
  /** The words for each. */
  text: Record<ReadingField, string>;
}

export interface Control {
  value: string;
  options: [value: string, label: string][];
}
export type ControlName = "tone" | "near" | "tolerance" | "tape-tolerance" | "unit" | "channel" | "trace" | "device";
export type Settings = Record<ControlName, Control>;

export type Weight = "fact" | "warning" | "fault";
export interface Message {
  weight: Weight;
  text: string;
  act: Act | "act-cards" | "act-friend" | "";
}
export interface Advice {
  reason: Reason | SongReason;
  what: string;
  todo: string;
}
export interface BudgetLine {
  name: string;
  amount: string;
  note: string;
}
/** Each term is null where it is not known, and not in the sum then. */
export interface Budget {
  noise_percent: number | null;
  wow_percent: number | null;
  clock_percent: number | null;
  tape_percent: number | null;
  sum_percent: number | null;
  of: string;
  terms: BudgetLine[];
  sum: BudgetLine;
}
export interface Clock {
  stage: "" | "listening" | "found" | "kept" | "refused";
  said: string;
  progress: number | null;
  fast_ppm: number | null;
  u95_ppm: number | null;
  corrected_ppm: number | null;
  kept: string[];
}
export interface Measure {
  place: TapePlace;
  seconds: number;
  /** Of a measurement that runs: what it is kept as. */
  kept_as: VisitStage | "";
  progress: number | null;
  left_s: number | null;
  act: string;
  percent: number | null;
  u95_percent: number | null;
  said: string;
  kept: string[];
  difference: string;
}
export interface Verdict {
  rule: Rule;
  text: string;
  rests_on: string;
  warns: boolean;
}
export interface Cause {
  cause: CauseKind;
  fault: boolean;
  title: string;
  evidence: string;
}
export interface Causes {
  verdicts: Verdict[];
  causes: Cause[];
  nothing: string;
  work: string[];
  standards: string[];
  rates: string[];
  /** The machine's parts as one line: core/records/parts_text. */
  parts: string;
  parts_fault: string;
  /** How many times parts were entered. */
  parts_entered: number;
}
export interface Coach {
  kind: AdviceKind;
  way: CoachWay;
  large: string;
  detail: string;
  speed_percent: number | null;
  last_change_percent: number | null;
  times_the_last: number | null;
  other_way: boolean;
  screw: string;
  /** What a clockwise turn makes the machine; empty where not known. */
  clockwise: "" | "faster" | "slower";
  turns: string[];
}
export interface Friend {
  mode: "ask" | "answer" | "file";
  id: string;
  said: string;
}
export interface Watch {
  seconds: number;
  shape: "too_short" | "steady" | "sagging" | "warming_up" | "tape_end";
  large: string;
  detail: string;
  gaps: string[];
  /** Empty while nobody looks at it. */
  course: [at_s: number, percent: number][];
}
export interface TapeRow {
  index: number;
  tape: string;
  amount: string;
  date: string;
  apart: boolean;
}
export interface Tapes {
  machine: string;
  rows: TapeRow[];
  summary: string;
  sentence: string;
  offer: string;
  fault: string;
  can_keep: boolean;
}
export interface Song {
  bench: Bench;
  reference: string;
  reference_s: number | null;
  recorded_s: number | null;
  again: Act;
  role: FileRole;
  tapes: Tapes;
}

/** What `page.show` gets: web/mirror.hpp. */
export interface State {
  phase: Phase;
  reading: ChannelReading;
  channels: ChannelReading[];
  channels_agree: boolean | null;
  spoken: string;
  status_line: string;
  usable: Usable;
  controls: Settings;
  messages: Message[];
  advice: Advice[];
  doubt: string;
  budget: Budget;
  clock: Clock;
  measure: Measure;
  causes_panel: Causes;
  coach: Coach;
  friend: Friend;
  watch: Watch;
  song: Song;
  tape: string;
  of_demo: boolean;
  view: "speed" | "flutter";
  processing: string;
  progress: number | null;
  trim: number | null;
  file: string;
  update_ready: boolean;
}

/** What can be pressed on the canvas, where it is drawn: web/draw/drawn_controls.hpp. Pixels of the drawing. */
export type DrawnControl = [
  id: string, name: string, kind: "button" | "off" | "on" | "slider", x: number, y: number, w: number, h: number];
/** What `page.showDrawn` gets. */
export interface DrawnTold {
  height: number;
  controls: DrawnControl[];
}

/** What `page.showWords` gets, once. */
export interface Words {
  acts: Record<SongAct, string>;
  caution: string;
  song_truth: string[];
  reasons: Advice[];
  platforms: { name: string; steps: string; here: boolean }[];
}

// ---- Cards ----------------------------------------------------------------------------------------------------------
// What is not known is absent. A file that came from elsewhere may have null for it, until the records have read it.

export interface VisitChannel {
  channel: string;
  status: Status;
  reasons: Reason[];
  frequency_hz?: number;
  speed_error_percent?: number;
  u95_percent?: number;
  level_dbfs?: number;
  carrier_to_noise_dbhz?: number;
  weighted_two_sigma_percent?: number;
  weighted_quasi_peak_percent?: number;
  unweighted_two_sigma_percent?: number;
  drift_percent_per_minute?: number;
  components: { rate_hz: number; peak_percent: number }[];
}
/** What tapes of music told: of its own kind, and never beside a measurement. */
export interface TapesEvidence {
  tapes: number;
  speed_error_percent: number;
  u95_percent: number;
  concert_a_hz?: number;
  line_scan?: boolean;
  mains_hum?: boolean;
  sounds_like: "none" | "slow" | "right" | "fast";
}
/** A visit as it was measured; on a card it has an id, a time and a date of change as well. */
export interface NewVisit {
  id?: string;
  time?: string;
  stage: VisitStage;
  place: TapePlace;
  source: VisitSource;
  seconds: number;
  nominal_hz?: number;
  tape_u95_percent?: number;
  clock_ppm?: number;
  clock_u95_ppm?: number;
  tolerance_percent: number;
  tape?: string;
  device?: string;
  note?: string;
  channels: VisitChannel[];
  changed_ms?: number;
  course?: { step_s: number; percent: (number | null)[] };
  spectrum?: { first_hz: number; bin_hz: number; dbfs: number[] };
  by_tapes?: TapesEvidence;
}
export interface Visit extends NewVisit {
  id: string;
}
export interface CardFields {
  name?: string;
  kind?: string;
  parts?: string;
  trimmer_place?: string;
  clockwise_is_faster?: boolean;
  tolerance_percent?: number;
  note?: string;
}
export interface Card extends CardFields {
  id: string;
  changed_ms?: number;
  visits: Visit[];
}
export interface KnownTape {
  id: string;
  name?: string;
  true_hz?: number;
  u95_percent?: number;
  certified_by?: string;
  note?: string;
  changed_ms?: number;
}
export interface CardsFile {
  schema: string;
  tapes: KnownTape[];
  cards: Card[];
}

/** Where the browser keeps them: a name a kind of record. */
export type RecordStore = "cards" | "tapes";
export type RecordKind = "card" | "tape";
/** What was set aside: a record, or a visit with the card on which it stood. One of an older page lacks its kind. */
export interface Aside {
  what: string;
  why: string;
  time: string;
  kind?: RecordKind;
  /** It is broken: nothing is known of what is in it. */
  record: unknown;
  card?: { id: string; name?: string };
}
/** A record as it was read, and what is broken in it: the whole of it, or the visits that are numbered. */
export interface Broken {
  store: RecordStore;
  record: Card | KnownTape;
  visits: { what: string; why: string; time: string; kind: RecordKind; visit?: number }[];
}

// ---- Answers --------------------------------------------------------------------------------------------------------

/** A sentence for people; it is never empty. */
export type Sentence = `${string} ${string}`;
/** An answer, or why there is none. */
export type Told<Answer> = ({ fault: "" } & Answer) | { fault: Sentence };
export type Row = [label: string, text: string];

export interface SetAside {
  what: string;
  why: string;
  /** Without it, and without `index`: a sound record for which there was no room. */
  kind?: RecordKind;
  index?: number;
  visit?: number;
}
export interface VisitWords {
  id: string;
  heading: string;
  speed: string;
  short: string;
  verdict: string;
  judged: VisitVerdict;
  rows: Row[];
}
export interface CardWords {
  id: string;
  name: string;
  since: string;
  newest: string;
  visits: VisitWords[];
}
/** Of "read" and "merge". */
export type CardsTold = Told<{ file: CardsFile; set_aside: SetAside[]; cards: CardWords[]; said: string }>;
/** Of "report". */
export type ReportTold = Told<{
  title: string;
  summary: string;
  caution: string;
  machine: Row[];
  conditions: Row[];
  readings: ReportReading[];
}>;
export interface ReportReading {
  heading: string;
  verdict: string;
  rows: Row[];
  ribbon_svg: string;
  spectrum_svg: string;
}
/** Of "ask" and "answer". */
export type LinkTold = Told<{ link: string }>;
/** Of "filed". */
export type FiledTold = Told<{ visit: Visit; id: string }>;
/** Of "bench-meter" and "bench-timing". */
export type TypedTold = Told<{ visit: NewVisit; said: string }>;
/** Of "bench-table". */
export type TableTold = Told<{ tapes: string[]; machines: string[]; said: string[]; left_out: number[] }>;
/** Of "bench-certify". */
export type CertifyTold = Told<{ true_hz: number; u95_percent: number; said: string }>;

export type Question =
  | "read" | "merge" | "csv" | "report" | "ask" | "answer" | "filed"
  | "bench-meter" | "bench-timing" | "bench-table" | "bench-certify";
export type Ask = (what: Question, ...texts: string[]) => string;
/** A control that tells the program of something. Its names: intent_of_control in web/controls.cpp. */
export type Change = (name: ChangeName, value: string) => void;
export type ChangeName =
  | ControlName | "trim" | "check-clock" | "keep-clock" | "forget-clock" | "keep-tape" | "forget-tape" | "machine"
  | "turned" | "clockwise" | "parts" | "place" | "visit-seconds" | "cards" | "visit" | "screen" | "look" | "watch"
  | "coach";
/** What the cards can be, as the control "cards" has it. */
export type CardsState = "kept" | "refused" | "full" | "set-aside";

// ---- The program ----------------------------------------------------------------------------------------------------

/** A place in the program's memory; 0 is none. */
export type Address = number;
type Flag = 0 | 1;

export type CaptureFault =
  | "permission_denied" | "no_device" | "device_busy" | "device_unsuited" | "insecure_origin" | "never_answered"
  | "not_supported" | "other";
export type Interruption = "device_ended" | "muted" | "unmuted" | "suspended" | "resumed" | "hidden" | "visible";

/** The functions that `Program.call` calls; a string is a C string there. */
export interface Calls {
  page_capture_started(
    sample_rate_hz: number, device_rate_hz: number, channels: number, echo: number, noise: number, gain: number,
    isolation: number, device_id: string, label: string,
  ): void;
  page_capture_failed(fault: number, detail: string): void;
  page_capture_interrupted(what: number): void;
  page_device(id: string, label: string): void;
  page_devices_listed(): void;
  page_file_started(name: string): void;
  page_file_progress(fraction: number): void;
  page_file_failed(message: string): void;
  page_file_measured(bytes: Address, size: number): void;
  page_song_file_started(name: string, tape: Flag): void;
  page_song_matched(bytes: Address, size: number): void;
  page_number_entered(question: string, there: Flag, value: number): void;
  page_button(act: string): void;
  page_drawn_pressed(id: string): void;
  page_control(name: string, value: string): void;
  page_ask(what: string, ...texts: string[]): Address;
  page_tone_begin(hz: number, seconds: number, stepped: Flag): Address;
  page_update_ready(): void;
  page_fragment(text: string): void;
  canvas_resized(width: number, height: number, pixel_width: number, pixel_height: number, ratio: number): void;
  canvas_touch_down(x: number, y: number): void;
  canvas_touch_move(x: number, y: number): void;
  canvas_touch_up(cancelled: Flag): void;
  canvas_mouse_move(x: number, y: number): void;
  canvas_mouse_leave(): void;
  canvas_mouse_button(button: number, down: Flag): void;
  canvas_wheel(dx: number, dy: number): void;
  canvas_key(name: string, down: Flag): Flag;
  canvas_focus(focused: Flag): void;
  canvas_context_lost(): void;
  canvas_context_restored(): void;
  canvas_redraw(): void;
}

/** What Emscripten gives every module. */
interface Memory {
  HEAPU8: Uint8Array<ArrayBuffer>;
  HEAPF32: Float32Array<ArrayBuffer>;
  UTF8ToString(address: Address): string;
  stringToUTF8(text: string, address: Address, bytes: number): void;
  lengthBytesUTF8(text: string): number;
  _malloc(bytes: number): Address;
  _free(address: Address): void;
}
/** The calls as the module has them: plain numbers. */
type PlainCalls = { [Name in keyof Calls as `_${Name}`]: (...values: number[]) => number };
export interface PageModule extends Memory, PlainCalls {
  page: Page;
  canvas: EventTarget;
  locateFile(name: string): string;
  _page_tone_next(bytes: Address, size: number): number;
  _page_sample_buffer(samples: number): Address;
  _page_push_samples(samples: number, channels: number): void;
  _page_song_buffer(samples: number): Address;
  _page_song_read(): void;
  _page_song_samples(): Address;
  _page_song_size(): number;
}
/** What file_worker.js calls. */
export interface WorkerModule extends Memory {
  noInitialRun: boolean;
  locateFile(name: string): string;
  progress(fraction: number): void;
  _file_bytes(size: number): Address;
  _file_language(size: number): void;
  _file_buffer(frames: number): Address;
  _file_open_wav(size: number, file_size: number): Flag;
  _file_fault(): Address;
  _file_wav_frames(): number;
  _file_wav_offset(): number;
  _file_wav_frame_bytes(): number;
  _file_begin_wav(nominal_hz: number, sure: number, near_hz: number): Address;
  _file_process_wav(size: number): void;
  _file_begin(rate_hz: number, channels: number, nominal_hz: number, sure: number, near_hz: number): Address;
  _file_process(frames: number): void;
  _file_begin_song_wav(tape: Flag): Address;
  _file_begin_song(rate_hz: number, channels: number, frames: number, tape: Flag): Address;
  _file_song_frames(): number;
  _file_song_fault(): Address;
  _file_song_samples(): Address;
  _file_song_size(): number;
  _file_song_reference(samples: number): Address;
  _file_song_match(): number;
  _file_finish(): number;
  _file_result(): Address;
}

/** What the program asks of the page: the EM_JS functions of web/platform/browser.cpp and web/platform/canvas.cpp. */
export interface Page {
  fonts?: Uint8Array[];
  startCapture(device: string): void;
  stopCapture(): void;
  listDevices(): void;
  openFilePicker(role: FileRole): void;
  cancelFile(): void;
  measureAgain(hz: number, sure: Flag, near_hz: number): void;
  askNumber(question: string, label: string, unit: string, value: number, lowest: number, highest: number): void;
  showHelp(section: string): void;
  keepAwake(on: boolean): void;
  store(key: string, value: string): boolean;
  load(key: string): string | null;
  host(): [platform: string, agent: string, touch_points: number, catalogue: string, less_motion: boolean];
  showWords(json: string): void;
  showDrawn(json: string): void;
  keepVisit(json: string, demo: boolean): void;
  takeUpdate(): void;
  attachCanvas(): void;
  sizeCanvas(width: number, height: number): void;
  show(json: string): void;
}

// ---- Between the page and the Worker --------------------------------------------------------------------------------

/** What file_worker.js is asked to do. Sound is in the file, or comes in stretches that it wants. */
export type FileJob = (WavFile | DecodedFile) & FileTask;
export interface WavFile {
  wav: File;
}
export interface DecodedFile {
  rate_hz: number;
  channels: number;
  frames: number;
}
export interface FileTask extends FileAim {
  nominal_hz: number;
  catalogue: string;
}
export interface FileAim {
  song?: "reference" | "tape";
  /** Samples to hold a tape against. */
  reference?: Float32Array<ArrayBuffer>;
  /** Of a tone: what is known of the tape besides. */
  sure?: number;
  near_hz?: number;
}
/** A stretch, channel by channel. */
export interface FileSound {
  sound: Float32Array<ArrayBuffer>[];
}
export interface Stretch {
  first: number;
  frames: number;
}
/** What it tells; one of them at a time. */
export interface FileNews {
  fault?: string;
  broke?: string;
  fraction?: number;
  want?: Stretch;
  samples?: Float32Array<ArrayBuffer>;
  match?: Uint8Array<ArrayBuffer>;
  snapshot?: Uint8Array<ArrayBuffer>;
}

// ---- Only tapes: tapes_page.js, its Worker and web/tapes/door.cpp ----------------------------------------------------

export type TapeReason = "too_quiet" | "too_short" | "no_pitch" | "ambiguous" | "tapes_disagree";
export type TapeStatus = "none" | "ambiguous" | "measured";
export interface TapeFigure {
  number: string;
  plus_minus: string;
  percent: number;
  u95_percent: number;
}
export interface AnyTape {
  name: string;
  says: string;
  /** It says something else than the rest. */
  apart: boolean;
}
/** What `tapes_look` tells: web/tapes/mirror.hpp. */
export interface AnyTapes {
  status: TapeStatus;
  /** The likeliest first; one where it is measured. */
  figures: TapeFigure[];
  reasons: { name: TapeReason; what: string; todo: string }[];
  tapes: AnyTape[];
  lately: string;
  lately_percent: number | null;
  wow: string;
  basis: string;
  to_go: string;
  heard_s: number;
  heard: string;
  can_keep: boolean;
  concert_a_hz: number | null;
  sounds_like: number;
  /** For the card: null while there is nothing to put on it. */
  visit: NewVisit | null;
}
export interface TapesModule extends Memory {
  locateFile(name: string): string;
  _tapes_language(catalogue: Address): number;
  _tapes_tolerance(percent: number): number;
  _tapes_restore(text: Address): Flag;
  _tapes_drawer(): Address;
  _tapes_open(sample_rate_hz: number, channels: number): void;
  _tapes_feed(interleaved: Address, frames: number): void;
  _tapes_clear(): void;
  _tapes_keep(name: Address): Flag;
  _tapes_drop(index: number): void;
  _tapes_tuning(concert_a_hz: number): void;
  _tapes_sounds(like: number): void;
  _tapes_look(): Address;
  _tapes_picture(width: number, height: number): Address;
  _tapes_failed(fault: number, platform: Address, agent: Address, touch_points: number): Address;
  _tapes_interrupted(what: number): Address;
}
/** What the Worker is asked for. */
export type TapesAsk =
  | { act: "begin"; catalogue: string; tolerance_percent: number }
  | { act: "restore"; drawer: string }
  | { act: "size"; width: number; height: number }
  | { act: "open"; rate_hz: number; channels: number }
  | { act: "sound"; samples: Float32Array<ArrayBuffer> }
  | { act: "heard" }
  | { act: "keep"; name: string }
  | { act: "clear" }
  | { act: "drop"; index: number }
  | { act: "tuning"; concert_a_hz: number }
  | { act: "sounds"; like: number }
  | { act: "failed"; fault: number; platform: string; agent: string; touch_points: number }
  | { act: "interrupted"; what: number };
/** What it tells. */
export interface TapesNews {
  shown?: AnyTapes;
  /** SVG. */
  picture?: string;
  /** To be kept, as `restore` takes it. */
  drawer?: string;
  /** A drawer that could not be read. */
  damaged?: string;
  advice?: { what: string; todo: string };
  /** All sound so far was taken. */
  heard?: boolean;
  broke?: string;
}

// ---- Of browsers, what the checker does not know --------------------------------------------------------------------

declare global {
  /** four76.js: gives the module its functions. */
  function createFour76(module: PageModule | WorkerModule): Promise<unknown>;
  /** tapes.js, likewise. */
  function createTapes(module: Pick<TapesModule, "locateFile">): Promise<TapesModule>;

  interface MediaTrackConstraintSet {
    voiceIsolation?: boolean;
  }
  interface MediaTrackSettings {
    voiceIsolation?: boolean;
  }
  interface HTMLElementEventMap {
    webglcontextlost: WebGLContextEvent;
    webglcontextrestored: WebGLContextEvent;
  }
  interface Navigator {
    userAgentData?: { platform: string };
  }
}
