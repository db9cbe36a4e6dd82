#include "core/records/report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "core/records/coach_text.hpp"
#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

std::string percent(double value) { return rounded(value, 2) + " %"; }

// As it was set: "0.5 %", "3000 Hz".
std::string plain(double value, const char* unit) {
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.7g %s", value, unit);
  return text.data();
}

std::string hertz(double value) {
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.6g Hz", value);
  return text.data();
}

// "tape_dropout" as people write it.
std::string spaced(std::string_view name) {
  std::string text(name);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

// Nothing here is known better than to a thousandth of a percent.
std::string spread(double u95_percent) { return "\u00b1 " + percent(std::max(u95_percent, 0.001)); }

// So many digits as its uncertainty supports.
std::string sure_speed_text(const VisitSpeed& speed) {
  const int decimals = speed.u95_percent < 0.0095 ? 3 : speed.u95_percent < 0.095 ? 2 : 1;
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.*f %%", decimals, std::abs(speed.percent));
  if (std::string_view(text.data()).find_first_of("123456789") == std::string_view::npos) return "right";
  return text.data() + std::string(speed.percent > 0.0 ? " fast" : " slow");
}

std::string speed_text(double value) {
  const double size = std::round(std::abs(value) * 100.0) / 100.0;
  if (size == 0.0) return "right";
  return rounded(size, size < 0.095 ? 1 : 2) + (value > 0.0 ? " % fast" : " % slow");
}

std::string place_text(TapePlace place) {
  switch (place) {
    case TapePlace::start: return ", at the start of the tape";
    case TapePlace::middle: return ", at the middle of the tape";
    case TapePlace::end: return ", at the end of the tape";
    case TapePlace::unsaid: break;
  }
  return "";
}

std::string_view stage_text(VisitStage stage) noexcept {
  switch (stage) {
    case VisitStage::as_found: return "As found";
    case VisitStage::as_left: return "As left";
    case VisitStage::between: break;
  }
  return "In between";
}

std::string_view source_text(VisitSource source) noexcept {
  switch (source) {
    case VisitSource::tone: return "a test tape's tone";
    case VisitSource::song: return "a song that is also at hand";
    case VisitSource::meter: return "a meter's reading, typed";
    case VisitSource::timing: return "a timing, typed";
  }
  return "";
}

std::string verdict_words(const Measurement& visit) {
  const std::string tolerance = plain(visit.tolerance_percent, "%");
  switch (verdict_of(visit)) {
    case VisitVerdict::within: return "Within " + tolerance;
    case VisitVerdict::outside: return "Outside " + tolerance;
    case VisitVerdict::cannot_be_told: return "Too near to the limit of " + tolerance + " to be told";
    case VisitVerdict::not_measured: break;
  }
  return "Not measured";
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

void add_channel(Rows& rows, const MeasuredChannel& channel, bool named) {
  const std::string of = named ? " (" + channel.channel + ')' : std::string();
  const std::string hz = channel.frequency_hz ? hertz(*channel.frequency_hz) : std::string();
  if (named && channel.speed_error_percent) {
    std::string text = signed_percent_text(*channel.speed_error_percent);
    if (channel.u95_percent) text += ' ' + spread(*channel.u95_percent);
    rows.add("Speed error" + of, text + (hz.empty() ? "" : ", " + hz));
  } else {
    rows.add("Frequency", hz);
  }
  if (channel.status != Status::measured) rows.add("Not to be trusted" + of, spaced(name_of(channel.status)));
  rows.figure("Wow and flutter, weighted" + of, channel.weighted_two_sigma_percent, "% (2 sigma)");
  rows.figure("Wow and flutter, unweighted" + of, channel.unweighted_two_sigma_percent, "% (2 sigma)");
  std::string rates;
  for (std::size_t i = 0; i < std::min<std::size_t>(channel.components.size(), 4); ++i)
    rates += (i ? ", " : "") + rounded(channel.components[i].rate_hz, 2) + " Hz " +
             percent(channel.components[i].peak_percent);
  rows.add("Strongest rates" + of, rates);
  std::string reasons;
  for (const Reason reason : channel.reasons) reasons += (reasons.empty() ? "" : ", ") + spaced(name_of(reason));
  rows.add("Disturbed by" + of, reasons);
}

Rows rows_of(const Measurement& visit) {
  Rows rows;
  if (const auto speed = speed_of(visit))
    rows.add("Speed", sure_speed_text(*speed) + ", known to " + spread(speed->u95_percent));
  for (const MeasuredChannel& channel : visit.channels) add_channel(rows, channel, visit.channels.size() > 1);
  if (const auto apart = channels_apart_percent(visit); apart && *apart > 0.0)
    rows.add("Channels differ", "by " + percent(*apart) + ": something is wrong with the recording");
  rows.add("Measured by", std::string(source_text(visit.source)) +
                              (visit.source == VisitSource::song ? "" : ", " + plain(visit.nominal_hz, "Hz")));
  rows.add("Over", visit.seconds > 0.0 ? duration_text(visit.seconds) : std::string());
  rows.add("Tape", visit.tape).figure("Tape known to \u00b1", visit.tape_u95_percent, "%");
  rows.add("Device", visit.device);
  rows.add("Its clock", visit.clock_u95_ppm ? "checked to \u00b1 " + rounded(*visit.clock_u95_ppm, 2) + " ppm"
                                            : std::string("not checked: not in the uncertainty"));
  rows.add("Note", visit.note);
  return rows;
}

}  // namespace

ReportReading report_reading(const Measurement& visit, bool pictures) {
  ReportReading reading;
  reading.heading =
      std::string(stage_text(visit.stage)) + (visit.time.empty() ? "" : ", " + visit.time) + place_text(visit.place);
  reading.verdict = verdict_words(visit);
  reading.rows = rows_of(visit).take();
  if (!pictures) return reading;
  reading.ribbon_svg = ribbon_svg(visit);
  reading.spectrum_svg = spectrum_svg(visit);
  return reading;
}

std::string since_text(const SinceLast& since) {
  if (since.verdict == SinceVerdict::nothing_to_compare) return "";
  std::string when = "Since it was left";
  if (since.days && *since.days > 0)
    when += *since.days == 1 ? " a day ago" : ' ' + std::to_string(*since.days) + " days ago";
  const std::string by = percent(std::abs(since.change_percent)) + ' ' + spread(since.u95_percent);
  switch (since.verdict) {
    case SinceVerdict::held: return when + " it has held, within " + spread(since.u95_percent) + '.';
    case SinceVerdict::came_back:
      return when + " it went back by " + by +
             ", towards where it was found: look for a belt or a part that slips before the trimmer is turned again.";
    case SinceVerdict::moved: return when + " it moved by " + by + '.';
    case SinceVerdict::cannot_be_told: return when + " it moved by " + by + ": whether it did at all cannot be told.";
    case SinceVerdict::nothing_to_compare: break;
  }
  return "";
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
    return "From " + speed_text(speed_of(*found)->percent) + " to " + speed_text(speed_of(*left)->percent) + '.';
  if (left) return "Left " + speed_text(speed_of(*left)->percent) + '.';
  return found ? "Found " + speed_text(speed_of(*found)->percent) + '.' : std::string("No speed was measured.");
}

}  // namespace

Report make_report(const Card& card, const ReportSettings& settings) {
  Report report;
  report.title = card.name.empty() ? "A machine without a name" : card.name;
  report.machine = Rows().add("Kind", card.kind).add("Trimmer", card.trimmer_place).add("Note", card.note).take();
  const std::string day = day_of(card);
  std::vector<const Measurement*> visits;
  for (const VisitStage stage : {VisitStage::as_found, VisitStage::as_left})
    for (const Measurement& visit : card.visits)
      if (visit.stage == stage && visit.time.substr(0, 10) == day) visits.push_back(&visit);
  for (const Measurement* visit : visits) report.readings.push_back(report_reading(*visit));
  report.summary = summary_of(visits);
  if (const std::string since = since_text(compare_visits(card.visits)); !since.empty()) report.summary += ' ' + since;
  const double tolerance = visits.empty() ? card.tolerance_percent : visits.back()->tolerance_percent;
  std::string source = settings.tolerance_source.empty() ? "" : " (" + settings.tolerance_source + ')';
  report.conditions = Rows()
                          .add("Tolerance", plain(tolerance, "%") + source)
                          .add("Uncertainties", "95 of 100 cases")
                          .add("Made with", "Four76 " + settings.version)
                          .add("Made by", settings.made_by.empty() ? "____________________" : settings.made_by)
                          .take();
  return report;
}

}  // namespace four76
