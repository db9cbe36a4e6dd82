// words: all text and all formatting, as pure functions. A number never shows digits that its uncertainty does not
// support; a speed error always shows its sign, with a true minus.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "web/budget/budget.hpp"
#include "web/model.hpp"

namespace four76::words {

// ---- Numbers -------------------------------------------------------------------------------------------------------
// Decimals at which the last digit stands where the uncertainty's first one does, 0 to `most`.
[[nodiscard]] int supported_decimals(double u95, int most) noexcept;
[[nodiscard]] std::string fixed(double value, int decimals);         // "-0.0" never appears; U+2212 as minus
[[nodiscard]] std::string signed_fixed(double value, int decimals);  // "+1.82", "−0.05", "0.00" is "±0.00"
[[nodiscard]] std::string plus_minus(double u95, int decimals);      // rounded up, never understated: "±0.04"
[[nodiscard]] std::string percent(double value);                     // a setting: "0.5 %"
[[nodiscard]] std::string hertz(double value);                       // a setting: "3150 Hz", "3003.27 Hz"
[[nodiscard]] std::string tone_heard(double hz);                     // "3012.4 Hz"
[[nodiscard]] std::string kilohertz(double hz);                      // of a sample rate: "44.1 kHz"

struct Figure {
  std::string number;  // "+1.82"
  std::string unit;    // "%"
};
// The huge figure of a reading in the chosen unit; nothing where the reading has no number.
[[nodiscard]] std::optional<Figure> figure(const Reading& reading, Unit unit, int percent_decimals);
// The lines under it: what the unit of the figure does not show.
[[nodiscard]] std::string frequency(const Reading& reading);               // "3054.3 Hz"
[[nodiscard]] std::string cents(const Reading& reading);                   // "+31 cents"
[[nodiscard]] std::string speed_error(const Reading& reading);             // "+1.82 %"
[[nodiscard]] std::string uncertainty(const Reading& reading, Unit unit);  // "±0.04 %"

// ---- What a screen reader says of the reading
[[nodiscard]] std::string spoken(const Model& model);  // "Runs 1.82 percent fast, plus or minus 0.04 percent."

// ---- What is wrong and what to do
struct Advice {
  std::string what;  // "Something hums: mains hum lies beside the tone."
  std::string todo;  // "Use a cable, or move the phone away from transformers."
};
[[nodiscard]] Advice advice(Reason reason, const Model& model);
[[nodiscard]] Advice advice(const Failure& failure, Platform platform);
// Where the system itself allows the microphone; empty where that is not known.
[[nodiscard]] std::string_view microphone_steps(Platform platform) noexcept;
[[nodiscard]] std::optional<Advice> advice(const Interrupted& interrupted);

// What the device does to a voice, and where to switch it off.
struct PlatformSteps {
  std::string_view name;   // "Android"
  std::string_view brief;  // a sentence for the hint
  std::string_view steps;  // all of it
};
[[nodiscard]] PlatformSteps voice_steps(Platform platform) noexcept;
// What the browser says of it where that is not all off: "The browser says that noise suppression is still ON." Else
// empty.
[[nodiscard]] std::string processing_doubt(const browser::CaptureStarted& capture);

// ---- Possible error, all told ---------------------------------------------------------------------------------------
struct BudgetLine {
  std::string name;    // "Wow"
  std::string amount;  // "±0.012 %", "not known", "none"
  std::string note;    // a sentence
};
// The four terms; nothing where there is no budget.
[[nodiscard]] std::vector<BudgetLine> budget_terms(const Model& model);
[[nodiscard]] BudgetLine budget_sum(const Model& model);          // its name says what is left out
[[nodiscard]] std::string budget_of(const Model& model);          // which number it is of: "The mean of 10 s: +1.8 %"
[[nodiscard]] std::string in_all(const Model& model);             // for one line: "±0.02 %, tape not known"
[[nodiscard]] std::string amount(std::optional<double> percent);  // rounded up: "±0.012 %"

// ---- The device's clock
[[nodiscard]] std::string clock_runs(const ClockCorrection& correction);  // "34 ± 6 ppm fast"
[[nodiscard]] std::string kept_clock(const CheckedClock& clock);  // "Line in at 48 kHz: runs 34 ± 6 ppm fast, ..."
[[nodiscard]] std::string clock_said(const Model& model);         // of the check: how it stands, or came out
[[nodiscard]] Advice advice(ClockFault fault, const Model& model);

// The sentence on what to do now, and which way.
enum class Way : std::uint8_t { none, slower, faster, leave, wait, distrust };
struct Hint {
  Way way = Way::none;
  std::string text;    // "Runs 1.8 % fast: slow it down"
  std::string detail;  // a further sentence, may be empty
};
[[nodiscard]] Hint hint(const Model& model);

// What the page has to say beside the reading; the weightiest first.
struct Message {
  enum class Weight : std::uint8_t { fact, warning, fault };
  Weight weight = Weight::fact;
  std::string text;  // what, and what to do
  std::string act;   // the id of an HTML button that leads on, may be empty ("act-listen")
};
[[nodiscard]] std::vector<Message> messages(const Model& model);

// The verdict on a trusted speed: within the tolerance, off it, or at its edge.
[[nodiscard]] Hint speed_verdict(const Model& model, const Reading& reading);
// The button that does again what failed: its id.
[[nodiscard]] std::string_view again(const Model& model) noexcept;

// ---- The job (words_job.cpp)
// Where the coach knows more than the verdict on the speed.
[[nodiscard]] std::optional<Hint> coach_hint(const Model& model);
[[nodiscard]] Hint coach_says(const Model& model);
// What the coach says before the first turn, and when it is time to stop: the hint says it where the coach is unfolded.
[[nodiscard]] std::optional<Hint> coach_begins(const Model& model);  // always something: to be read from afar
struct WatchWords {
  std::string large, detail;
  std::vector<std::string> gaps;
};
[[nodiscard]] WatchWords watch_says(const Model& model);  // over minutes to hours
[[nodiscard]] std::string friend_asks(const CheckAsked& asked);
[[nodiscard]] std::string friend_found(const CheckDone& done);
[[nodiscard]] std::string friend_said(const Model& model);  // what came by a link; empty where nothing did
[[nodiscard]] std::string screw_text(const Model& model);   // "Clockwise is faster."; empty where nothing is known

// ---- The song bench (words_song.cpp, words_votes.cpp)
[[nodiscard]] std::string clock_text(double seconds);                    // "3:05"
[[nodiscard]] std::string tape_at_hand(const Model& model);              // "3000 Hz, 0.5 %": and what is good
[[nodiscard]] std::string_view act_name(std::string_view act) noexcept;  // of the song bench's buttons
[[nodiscard]] std::string song_name(const Model& model);
[[nodiscard]] Hint song_hint(const Model& model);
[[nodiscard]] std::string song_status_line(const Model& model);
[[nodiscard]] std::string song_state_text(const Model& model);  // "Locked at 1:23 of the song"
[[nodiscard]] std::string song_against(const Model& model);
[[nodiscard]] std::string_view song_in_place_of_a_number(const Model& model) noexcept;
[[nodiscard]] std::vector<std::string_view> song_steps(const Model& model);
[[nodiscard]] std::vector<BudgetLine> song_lines(const Model& model);  // what is known of what runs; without notes
[[nodiscard]] std::string match_place(const Model& model);             // a sentence
[[nodiscard]] std::string_view alignment_title(const Model& model) noexcept;
[[nodiscard]] std::string ahead_text(double seconds, double after_s);  // "+0.41 s after 40 s"
[[nodiscard]] Advice advice(SongReason reason);
[[nodiscard]] std::optional<Advice> song_advice(Reason reason);  // of a reading by a song
[[nodiscard]] std::string too_long_song(double seconds);         // of a file; its name stands before
[[nodiscard]] std::string too_short_song(double seconds, bool tape);
[[nodiscard]] std::string_view silent_song(bool tape) noexcept;
[[nodiscard]] std::string_view unfit_rate_song() noexcept;
[[nodiscard]] std::vector<std::string_view> song_truth();  // how far a song can be trusted, at length
[[nodiscard]] std::string vote_sentence(std::span<const TapeVote> votes);
[[nodiscard]] std::string vote_summary(std::span<const TapeVote> votes);  // "Median +1.05 %, spread 0.15 %, 4 tapes"
[[nodiscard]] std::string vote_amount(const TapeVote& vote);
[[nodiscard]] std::string_view tape_needs_name() noexcept;
[[nodiscard]] std::string vote_offer(const Model& model);  // the result that may be kept, or why there is none

// ---- Wow and flutter
[[nodiscard]] std::string flutter_amount(const std::optional<FlutterFigure>& figure);  // "0.11 %", "below what can..."
[[nodiscard]] std::string drift_amount(const std::optional<Drift>& drift);             // "+0.12 ±0.02 % a minute"
[[nodiscard]] std::string noise_floor(const FlutterReading& all);                      // "0.012 %"
[[nodiscard]] std::optional<Figure> flutter_figure(const Model& model);                // the weighted one, large
[[nodiscard]] std::string flutter_state(const Model& model);              // in its place; empty where there is a figure
[[nodiscard]] std::string flutter_title(const Model& model);              // what it is
[[nodiscard]] std::vector<BudgetLine> flutter_lines(const Model& model);  // the other figures; without notes
[[nodiscard]] std::string flutter_noise(const Model& model);              // a sentence on the noise's share
[[nodiscard]] std::string rate_name(const FlutterPeak& peak);             // "7.6 Hz"
[[nodiscard]] std::string peak_name(const FlutterPeak& peak);             // "7.6 Hz, 0.08 %"
[[nodiscard]] std::string rates_title(const Model& model);                // of their spectrum
[[nodiscard]] std::string_view rates_state(const Model& model) noexcept;  // where there is none yet
[[nodiscard]] std::string components(std::span<const FlutterPeak> peaks);
[[nodiscard]] std::string_view way_to_flutter() noexcept;  // where a tap leads
[[nodiscard]] std::string_view way_to_speed() noexcept;
[[nodiscard]] std::string_view trace_name(Trace trace) noexcept;

// ---- What wow and flutter come from (words_causes.cpp) ------------------------------------------------------------
struct FlutterVerdict {
  std::string headline;  // "Do not trim yet: ..."; empty where no rule says anything
  std::string detail;    // the causes, a line each
  bool warns = false;    // against trimming
};
[[nodiscard]] FlutterVerdict flutter_verdict(const Model& model);
[[nodiscard]] std::string cause_line(const Cause& cause);         // "Pinch roller (likely, 64 % of it)"
[[nodiscard]] std::string flutter_judgement(const Model& model);  // "Meets the hi-fi minimum ..."
[[nodiscard]] std::vector<std::string> standards_held_against(const Model& model);  // each named standard
[[nodiscard]] std::string peak_part(const Model& model, std::size_t peak);          // "capstan"; empty where not told
// "7.6 Hz, 0.08 %", with its part where that is told; "7.6 Hz capstan" where there is little room.
[[nodiscard]] std::string peak_label(const Model& model, std::size_t peak, bool roomy);
[[nodiscard]] std::string would_be(const Model& model,
                                   const FlutterPeak& peak);  // "7.58 Hz would be a capstan of 2.0 mm."
// The same of the shown channel's peak of that place; or of which rate it is a multiple.
[[nodiscard]] std::string rate_line(const Model& model, std::size_t peak);
[[nodiscard]] std::string no_causes(const Model& model);  // why none; empty where there are
[[nodiscard]] std::string_view why_name() noexcept;       // of the button: "Why"

// ---- Timed measurements ----------------------------------------------------------------------
[[nodiscard]] std::string_view place_name(TapePlace place) noexcept;   // "Start of tape"
[[nodiscard]] std::string_view stage_name(VisitStage stage) noexcept;  // "As found"
[[nodiscard]] std::string measure_name(const Model& model);            // of the button
[[nodiscard]] std::string visit_kept(const Measurement& visit);        // "As found, 1.20 % slow: on the card."
[[nodiscard]] std::string visit_refused(const Model& model);
[[nodiscard]] std::string_view cards_said(CardsState state) noexcept;  // empty where all is well
[[nodiscard]] std::string measure_invitation();
[[nodiscard]] std::string speed_moved();                              // what is kept is a mean of more than one speed
[[nodiscard]] std::string measure_said(const Model& model);           // how it stands, or why it was refused
[[nodiscard]] std::optional<Hint> measure_hint(const Model& model);   // while it runs: "Hands off, 22 s"
[[nodiscard]] std::vector<std::string> measured(const Model& model);  // a line for each place
[[nodiscard]] std::string measured_difference(const Model& model);    // between two places; empty without

// ---- Names
[[nodiscard]] std::string status_line(const Model& model);   // "Listening, 48 kHz, left channel"
[[nodiscard]] std::string capture_note(const Model& model);  // ", 48 kHz"; before it, that the screen may go dark
[[nodiscard]] std::string against(const Model& model);       // "3000 Hz tape, within 0.5 %"
[[nodiscard]] std::string_view heard(const Model& model) noexcept;  // of the spectrum: "What the microphone hears"
[[nodiscard]] std::string processing(
    const browser::CaptureStarted& capture);                   // "The browser says: echo cancellation off, ..."
[[nodiscard]] std::string tone_name(double hz);                // "3150 Hz"
[[nodiscard]] std::string tolerance_name(double tolerance);    // "0.5 %, usual service adjustment, common practice"
[[nodiscard]] std::string_view unit_name(Unit unit) noexcept;  // "percent"
[[nodiscard]] std::string_view channel_name(ChannelChoice channel) noexcept;
[[nodiscard]] std::vector<std::string_view> first_steps();  // how to begin
[[nodiscard]] std::string measure_again(double hz);         // a file, after the tone was changed
[[nodiscard]] std::string file_lost();                      // its result could not be read
[[nodiscard]] std::string_view ask_tone_label() noexcept;
[[nodiscard]] std::string_view ask_tolerance_label() noexcept;
[[nodiscard]] std::string_view ask_tape_tolerance_label() noexcept;
[[nodiscard]] std::string tape_tolerance_name(std::optional<double> tolerance);  // "not stated", "0.1 %"
[[nodiscard]] std::string channels(const Model& model);                          // "left is shown; both agree"
[[nodiscard]] std::string peak_name(const SpectrumPeak& peak);          // "hum 50 Hz x 60", "other tone", "tone"
[[nodiscard]] std::string_view level_word(double level_dbfs) noexcept;  // "good", "quiet", "too loud"
[[nodiscard]] std::string_view noise_word(double carrier_to_noise_dbhz) noexcept;  // "good", "fair", "poor"

}  // namespace four76::words
