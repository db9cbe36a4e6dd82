#include "core/cli/song_report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <string_view>

#include "core/cli/complain.hpp"
#include "core/reading.hpp"
#include "core/records/safety_text.hpp"

namespace four76::cli {
namespace {

std::string_view words_of(SongStatus status) {
  switch (status) {
    case SongStatus::matched: return "the same recording";
    case SongStatus::unreliable: return "not to be trusted";
    case SongStatus::not_matched: return "no match";
  }
  return "no match";
}

std::string_view words_of(SongReason reason) {
  switch (reason) {
    case SongReason::too_quiet: return "almost no sound: turn the recording up and record again";
    case SongReason::too_short: return "too short: take 30 to 60 s of tape, and a reference of 10 s or more";
    case SongReason::different_recording:
      return "the same song, but another recording: find the very release that is on the tape";
    case SongReason::too_little_overlap:
      return "little of the tape is in the reference: play the same part of the same song";
    case SongReason::tape_dropout: return "stretches of the tape could not be followed and were stepped over";
    case SongReason::tape_edit: return "the tape or the reference is cut; the line goes on behind the cut";
    case SongReason::not_steady:
      return "the speed is not known to a fifth of the tolerance: record longer, without talk; look at belt and roller";
    case SongReason::capture_gap: return "samples were lost while recording: close other programs, then record again";
  }
  return "";
}

bool sends_to_the_machine(const std::vector<SongReason>& reasons) {
  return std::ranges::find(reasons, SongReason::not_steady) != reasons.end();
}

template <class... Values>
std::string print(const char* format, Values... values) {
  std::array<char, 160> text{};
  std::snprintf(text.data(), text.size(), format, values...);
  return text.data();
}

}  // namespace

bool SongMeasurement::has_speed() const {
  if (!match.fit || match.status == SongStatus::not_matched) return false;
  const auto has = [&](SongReason reason) { return std::ranges::find(match.reasons, reason) != match.reasons.end(); };
  return !has(SongReason::different_recording) &&
         (match.status == SongStatus::matched || !has(SongReason::capture_gap));
}

std::string to_json(const SongMeasurement& found) {
  nlohmann::ordered_json object = {{"schema", "four76.song/1"},
                                   {"reference", found.reference},
                                   {"tape", found.tape},
                                   {"status", name_of(found.match.status)},
                                   {"speed_error_percent", nullptr},
                                   {"u95_percent", nullptr},
                                   {"reference_start_s", nullptr},
                                   {"matched_fraction", nullptr},
                                   {"reasons", nlohmann::ordered_json::array()},
                                   {"wow_rms_percent", nullptr},
                                   {"wow_rms_u95_percent", nullptr},
                                   {"edits", nullptr},
                                   {"second_best_ratio", nullptr},
                                   {"reference_rate_hz", found.reference_rate_hz},
                                   {"tape_rate_hz", found.tape_rate_hz},
                                   {"reference_s", found.reference_s},
                                   {"tape_s", found.tape_s},
                                   {"used_s", found.used_s},
                                   {"tolerance_percent", found.tolerance_percent}};
  for (const SongReason reason : found.match.reasons) object["reasons"].push_back(name_of(reason));
  if (found.match.second_best_ratio) object["second_best_ratio"] = *found.match.second_best_ratio;
  if (found.match.fit) object["matched_fraction"] = found.match.fit->held_share;
  if (found.has_speed()) {
    const SongFit& fit = *found.match.fit;
    object["speed_error_percent"] = fit.speed_error_percent;
    object["u95_percent"] = fit.u95_percent;
    object["reference_start_s"] = fit.start_s;
    object["edits"] = fit.edits;
    if (fit.wow_rms_percent) object["wow_rms_percent"] = *fit.wow_rms_percent;
    if (fit.wow_rms_u95_percent) object["wow_rms_u95_percent"] = *fit.wow_rms_u95_percent;
  }
  return object.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

std::string summary_of(const SongMeasurement& found) {
  std::string text = on_one_line(found.tape) + ": " + std::string(words_of(found.match.status)) + '\n';
  text += print("  %-13s %d Hz, %.1f s of tape; reference %d Hz, %.1f s\n", "compared", found.tape_rate_hz,
                found.used_s, found.reference_rate_hz, found.reference_s);
  if (found.has_speed()) {
    const SongFit& fit = *found.match.fit;
    const char* doubt = found.match.status == SongStatus::matched ? "" : "perhaps ";
    const bool surely = std::abs(fit.speed_error_percent) > fit.u95_percent;
    const char* way = !surely ? "" : fit.speed_error_percent > 0.0 ? "  (runs fast)" : "  (runs slow)";
    text += print("  %-13s %s%+.4f \u00b1 %.4f %%%s\n", "speed error", doubt, fit.speed_error_percent, fit.u95_percent,
                  way);
    text += print("  %-13s %+.2f cents\n", "pitch", cents_of_percent(fit.speed_error_percent));
    if (fit.wow_rms_percent)
      text += print("  %-13s %.3f \u00b1 %.3f %% RMS up to 3.6 Hz\n", "wow", *fit.wow_rms_percent,
                    fit.wow_rms_u95_percent.value_or(0.0));
    text += print("  %-13s from %.2f s of the reference, %.0f %% of the sound\n", "matched", fit.start_s,
                  100.0 * fit.held_share);
  }
  for (const SongReason reason : found.match.reasons)
    text += print("  %-13s %s\n", reason == found.match.reasons.front() ? "because" : "",
                  std::string(words_of(reason)).c_str());
  if (sends_to_the_machine(found.match.reasons)) text.append(1, '\n').append(safety_text()).append("\n\n");
  if (found.match.status == SongStatus::matched)
    text +=
        "\u00b1 holds in 95 of 100 cases; the recorder's clock and the error of the machine that made the tape come on "
        "top.\n";
  return text;
}

std::string why_not_matched(const SongMeasurement& found) {
  const std::string start = "no reading that can be trusted: ";
  if (found.match.reasons.empty()) return start + "this recording is not on the tape, or not in this part of it";
  const std::string why = start + std::string(words_of(found.match.reasons.front()));
  return sends_to_the_machine({found.match.reasons.front()}) ? why + ". " + std::string(safety_text()) : why;
}

}  // namespace four76::cli
