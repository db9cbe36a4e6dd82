#include "core/records/report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "core/phrase.hpp"
#include "core/records/coach_text.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/safety_text.hpp"
#include "core/records/tapes_text.hpp"

namespace four76 {
namespace {

std::string percent(double value) { return rounded(value, 2) + " %"; }

// As it was set: "0.5 %", "3000 Hz".
std::string plain(double value, const char* unit) {
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.7g %s", value, unit);
  return with_decimal_mark(text.data());
}

std::string hertz(double value) {
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.6g Hz", value);
  return with_decimal_mark(text.data());
}

std::string_view words_of(Status status) noexcept {
  switch (status) {
    case Status::no_tone: return tr("no tone");
    case Status::unreliable: return tr("unreliable");
    case Status::measured: break;
  }
  return tr("measured");
}

std::string_view words_of(Reason reason) noexcept {
  switch (reason) {
    case Reason::no_tone: return tr("no tone");
    case Reason::too_quiet: return tr("too quiet");
    case Reason::room_noise: return tr("room noise");
    case Reason::competing_tone: return tr("competing tone");
    case Reason::mains_hum: return tr("mains hum");
    case Reason::clipping: return tr("clipping");
    case Reason::voice_processing: return tr("voice processing");
    case Reason::capture_gap: return tr("capture gap");
    case Reason::tape_dropout: return tr("tape dropout");
    case Reason::narrow_capture: return tr("narrow capture");
    case Reason::wrong_tone: return tr("wrong tone");
    case Reason::channels_differ: return tr("channels differ");
    case Reason::too_short: return tr("too short");
    case Reason::not_steady: return tr("not steady");
  }
  return "";
}

// A channel that a file from elsewhere calls by another name keeps that name.
std::string_view channel_words(std::string_view name) noexcept {
  if (name == "left") return tr("left##channel");
  return name == "right" ? tr("right##channel") : name;
}

// Nothing here is known better than to a thousandth of a percent.
std::string spread(double u95_percent) { return "\u00b1 " + percent(std::max(u95_percent, 0.001)); }

// So many digits as its uncertainty supports.
std::string sure_speed_text(const VisitSpeed& speed) {
  const int decimals = speed.u95_percent < 0.0095 ? 3 : speed.u95_percent < 0.095 ? 2 : 1;
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.*f %%", decimals, std::abs(speed.percent));
  if (std::string_view(text.data()).find_first_of("123456789") == std::string_view::npos) return say("right##speed");
  return say(speed.percent > 0.0 ? Phrase("{0} fast") : Phrase("{0} slow"), with_decimal_mark(text.data()));
}

std::string speed_words(double value) {
  const double size = std::round(std::abs(value) * 100.0) / 100.0;
  if (size == 0.0) return say("right##speed");
  return say(value > 0.0 ? Phrase("{0} fast") : Phrase("{0} slow"), rounded(size, size < 0.095 ? 1 : 2) + " %");
}

std::string place_text(TapePlace place) {
  switch (place) {
    case TapePlace::start: return ", " + say("at the start of the tape");
    case TapePlace::middle: return ", " + say("at the middle of the tape");
    case TapePlace::end: return ", " + say("at the end of the tape");
    case TapePlace::unsaid: break;
  }
  return "";
}

std::string_view stage_text(VisitStage stage) noexcept {
  switch (stage) {
    case VisitStage::as_found: return tr("As found");
    case VisitStage::as_left: return tr("As left");
    case VisitStage::between: break;
  }
  return tr("In between");
}

std::string_view source_text(VisitSource source) noexcept {
  switch (source) {
    case VisitSource::tone: return tr("a test tape's tone");
    case VisitSource::song: return tr("a song that is also at hand");
    case VisitSource::meter: return tr("a meter's reading, typed");
    case VisitSource::timing: return tr("a timing, typed");
    case VisitSource::tapes: break;
  }
  return "";
}

std::string verdict_words(const Measurement& visit) {
  const std::string tolerance = plain(visit.tolerance_percent, "%");
  switch (verdict_of(visit)) {
    case VisitVerdict::within: return say("Within {0}", tolerance);
    case VisitVerdict::outside: return say("Outside {0}", tolerance);
    case VisitVerdict::cannot_be_told: return say("Too near to the limit of {0} to be told", tolerance);
    case VisitVerdict::not_measured: break;
  }
  return say("Not measured");
}

class Rows {
 public:
  Rows& add(std::string_view label, std::string text) {
    if (!text.empty()) rows_.push_back({std::string(label), std::move(text)});
    return *this;
  }
  Rows& figure(std::string_view label, const std::optional<double>& value, std::string_view unit) {
    return add(label, value ? rounded(*value, 2) + ' ' + std::string(unit) : std::string());
  }
  std::vector<ReportRow> take() { return std::move(rows_); }

 private:
  std::vector<ReportRow> rows_;
};

// " (left)".
std::string of_channel(const MeasuredChannel& channel) {
  return " (" + std::string(channel_words(channel.channel)) + ')';
}
std::string hertz_of(const MeasuredChannel& channel) {
  return channel.frequency_hz ? hertz(*channel.frequency_hz) : std::string();
}

void add_speed_error(Rows& rows, const MeasuredChannel& channel) {
  if (!channel.speed_error_percent) return;
  std::string text = signed_percent_text(*channel.speed_error_percent);
  if (channel.u95_percent) text += ' ' + spread(*channel.u95_percent);
  const std::string hz = hertz_of(channel);
  rows.add(say("Speed error") + of_channel(channel), text + (hz.empty() ? "" : ", " + hz));
}

void add_channel(Rows& rows, const MeasuredChannel& channel, bool named) {
  const std::string of = named ? of_channel(channel) : std::string();
  if (named && channel.speed_error_percent)
    add_speed_error(rows, channel);
  else
    rows.add(tr("Frequency"), hertz_of(channel));
  if (channel.status != Status::measured)
    rows.add(say("Not to be trusted") + of, std::string(words_of(channel.status)));
  rows.figure(say("Wow and flutter, weighted") + of, channel.weighted_two_sigma_percent, tr("% (2 sigma)"));
  rows.figure(say("Wow and flutter, unweighted") + of, channel.unweighted_two_sigma_percent, tr("% (2 sigma)"));
  std::string rates;
  for (std::size_t i = 0; i < std::min<std::size_t>(channel.components.size(), 4); ++i)
    rates += (i ? ", " : "") + rounded(channel.components[i].rate_hz, 2) + " Hz " +
             percent(channel.components[i].peak_percent);
  rows.add(say("Strongest rates") + of, rates);
  std::string reasons;
  for (const Reason reason : channel.reasons) reasons.append(reasons.empty() ? "" : ", ").append(words_of(reason));
  rows.add(say("Disturbed by") + of, reasons);
}

void add_apart(Rows& rows, const Measurement& visit) {
  if (const auto apart = channels_apart_percent(visit); apart && *apart > 0.0)
    rows.add(tr("Channels differ"), say("by {0}: something is wrong with the recording", percent(*apart)));
}

std::string_view sounds_text(SoundsLike like) noexcept {
  switch (like) {
    case SoundsLike::slow: return tr("Too slow");
    case SoundsLike::right: return tr("About right");
    case SoundsLike::fast: return tr("Too fast");
    case SoundsLike::not_said: break;
  }
  return "";
}

Rows rows_of_tapes(const Measurement& visit) {
  Rows rows;
  rows.add(tr("Speed"), tapes_text(*visit.by_tapes));
  rows.add(tr("How it sounds"), std::string(sounds_text(visit.by_tapes->sounds_like)));
  rows.add(tr("Over##so long"), visit.seconds > 0.0 ? duration_text(visit.seconds) : std::string());
  return rows.add(tr("Note"), visit.note);
}

Rows rows_of(const Measurement& visit) {
  if (visit.by_tapes) return rows_of_tapes(visit);
  Rows rows;
  rows.add(tr("Speed"), speed_text(visit));
  for (const MeasuredChannel& channel : visit.channels) add_channel(rows, channel, visit.channels.size() > 1);
  add_apart(rows, visit);
  rows.add(tr("Measured by"), std::string(source_text(visit.source)) +
                                  (visit.source == VisitSource::song ? "" : ", " + plain(visit.nominal_hz, "Hz")));
  rows.add(tr("Over##so long"), visit.seconds > 0.0 ? duration_text(visit.seconds) : std::string());
  rows.add(tr("Tape"), visit.tape).figure(say("Tape known to {0}", "\u00b1"), visit.tape_u95_percent, "%");
  rows.add(tr("Device"), visit.device);
  rows.add(tr("Its clock"), visit.clock_u95_ppm
                                ? say("checked to {0}", "\u00b1 " + rounded(*visit.clock_u95_ppm, 2) + " ppm")
                                : say("not checked: not in the uncertainty"));
  rows.add(tr("Note"), visit.note);
  return rows;
}

// How the sentence begins.
std::string since_when(const SinceLast& since) {
  if (!since.days || *since.days <= 0) return say("Since it was left");
  if (*since.days == 1) return say("Since it was left a day ago");
  return say("Since it was left {0} days ago", std::to_string(*since.days));
}

}  // namespace

std::string speed_text(const Measurement& visit) {
  if (visit.by_tapes) return tapes_text(*visit.by_tapes);
  const auto speed = speed_of(visit);
  return speed ? say("{0}, known to {1}", sure_speed_text(*speed), spread(speed->u95_percent)) : std::string();
}

std::vector<ReportRow> speed_rows(const Measurement& visit) {
  Rows rows;
  rows.add(tr("Speed"), speed_text(visit));
  if (visit.channels.size() > 1)
    for (const MeasuredChannel& channel : visit.channels) add_speed_error(rows, channel);
  add_apart(rows, visit);
  return rows.take();
}

ReportReading report_reading(const Measurement& visit, bool pictures) {
  ReportReading reading;
  reading.heading = std::string(visit.by_tapes ? tr("Only tapes") : stage_text(visit.stage)) +
                    (visit.time.empty() ? "" : ", " + visit.time) + place_text(visit.place);
  reading.verdict = verdict_words(visit);
  reading.rows = rows_of(visit).take();
  if (!pictures) return reading;
  reading.ribbon_svg = ribbon_svg(visit);
  reading.spectrum_svg = spectrum_svg(visit);
  return reading;
}

std::string since_text(const SinceLast& since) {
  const std::string when = since_when(since), spread_of = spread(since.u95_percent);
  const std::string by = percent(std::abs(since.change_percent)) + ' ' + spread_of;
  switch (since.verdict) {
    case SinceVerdict::held: return say("{0} it has held, within {1}.", when, spread_of);
    case SinceVerdict::came_back:
      return say(
          "{0} it went back by {1}, towards where it was found: look for a belt or a part that slips before the "
          "trimmer is turned again.",
          when, by);
    case SinceVerdict::moved: return say("{0} it moved by {1}.", when, by);
    case SinceVerdict::cannot_be_told:
      return say("{0} it moved by {1}: whether it did at all cannot be told.", when, by);
    case SinceVerdict::nothing_to_compare: break;
  }
  return "";
}

std::string comparison_text(std::span<const Measurement> visits) {
  std::string since = since_text(compare_visits(visits)), told = newest_tapes_text(visits);
  if (since.empty() || told.empty()) return since + told;
  return since + ' ' + told;
}

namespace {

// The newest day with a reading as left, else as found.
std::string day_of(const Card& card) {
  std::string found, left;
  for (const Measurement& visit : card.visits) {
    const std::string day = visit.time.substr(0, 10);
    if (visit.stage == VisitStage::as_left) left = std::max(left, day);
    if (visit.stage == VisitStage::as_found) found = std::max(found, day);
  }
  return left.empty() ? found : left;
}

std::string summary_of(const std::vector<const Measurement*>& visits) {
  const Measurement *found = nullptr, *left = nullptr;
  for (const Measurement* visit : visits) {
    if (!speed_of(*visit)) continue;
    if (visit->stage == VisitStage::as_found && !found) found = visit;
    if (visit->stage == VisitStage::as_left) left = visit;
  }
  if (found && left)
    return say("From {0} to {1}.", speed_words(speed_of(*found)->percent), speed_words(speed_of(*left)->percent));
  if (left) return say("Left {0}.", speed_words(speed_of(*left)->percent));
  return found ? say("Found {0}.", speed_words(speed_of(*found)->percent)) : say("No speed was measured.");
}

}  // namespace

Report make_report(const Card& card, const ReportSettings& settings) {
  Report report;
  report.title = card.name.empty() ? say("A machine without a name") : card.name;
  report.machine =
      Rows().add(tr("Kind"), card.kind).add(tr("Trimmer"), card.trimmer_place).add(tr("Note"), card.note).take();
  const std::string day = day_of(card);
  std::vector<const Measurement*> visits;
  for (const VisitStage stage : {VisitStage::as_found, VisitStage::as_left})
    for (const Measurement& visit : card.visits)
      if (visit.stage == stage && visit.time.substr(0, 10) == day) visits.push_back(&visit);
  for (const Measurement* visit : visits) report.readings.push_back(report_reading(*visit));
  for (auto visit = card.visits.rbegin(); visit != card.visits.rend(); ++visit)
    if (visit->by_tapes) {
      report.readings.push_back(report_reading(*visit));
      break;
    }
  report.summary = summary_of(visits);
  if (const std::string since = comparison_text(card.visits); !since.empty()) report.summary += ' ' + since;
  const double tolerance = visits.empty() ? card.tolerance_percent : visits.back()->tolerance_percent;
  report.caution = safety_text();
  std::string source = settings.tolerance_source.empty() ? "" : " (" + settings.tolerance_source + ')';
  report.conditions = Rows()
                          .add(tr("Tolerance"), plain(tolerance, "%") + source)
                          .add(tr("Uncertainties"), say("95 of 100 cases"))
                          .add(tr("Made with"), "Four76 " + settings.version)
                          .add(tr("Made by"), settings.made_by.empty() ? "____________________" : settings.made_by)
                          .take();
  return report;
}

}  // namespace four76
