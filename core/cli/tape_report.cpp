#include "core/cli/tape_report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <span>
#include <string_view>

#include "core/cli/complain.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/safety_text.hpp"

namespace four76::cli {
namespace {

using Json = nlohmann::ordered_json;

Json or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

Json json_of(const Evidence& evidence, const TuningPrior& tuning) {
  const EvidenceSpeed speed = speed_of(evidence, tuning);
  const bool of_pitch = evidence.kind == EvidenceKind::concert_pitch;
  return {{"kind", name_of(evidence.kind)},
          {"nominal_hz", of_pitch ? or_null(tuning.concert_a_hz) : Json(evidence.nominal_hz)},
          {"measured_hz", evidence.measured_hz},
          {"speed_error_percent", of_pitch && !tuning.concert_a_hz ? Json(nullptr) : Json(speed.speed_error_percent)},
          {"u95_percent", of_pitch && !tuning.concert_a_hz ? Json(nullptr) : Json(speed.u95_percent)},
          {"measured_u95_percent", evidence.measured_u95_percent},
          {"on_tape_probability", evidence.on_tape_probability}};
}

// The fields that a tape and all tapes have alike.
Json json_of(const SpeedAnswer& answer) {
  Json object = {{"status", name_of(answer.status)},
                 {"speed_error_percent", nullptr},
                 {"u95_percent", nullptr},
                 {"candidates_percent", Json::array()},
                 {"candidates_u95_percent", Json::array()},
                 {"candidates_probability", Json::array()},
                 {"reasons", Json::array()}};
  if (!answer.candidates.empty()) {
    object["speed_error_percent"] = answer.candidates.front().speed_error_percent;
    object["u95_percent"] = answer.candidates.front().u95_percent;
  }
  if (answer.status == TapeStatus::ambiguous)
    for (const SpeedCandidate& candidate : answer.candidates) {
      object["candidates_percent"].push_back(candidate.speed_error_percent);
      object["candidates_u95_percent"].push_back(candidate.u95_percent);
      object["candidates_probability"].push_back(candidate.probability);
    }
  for (const TapeReason reason : answer.reasons) object["reasons"].push_back(name_of(reason));
  return object;
}

std::string_view words_of(TapeReason reason) {
  switch (reason) {
    case TapeReason::too_quiet: return "almost no sound: turn the recording up and record again";
    case TapeReason::too_short: return "too short: record half a minute of each tape";
    case TapeReason::no_pitch: return "no steady notes on a scale: speech, noise and drums alone tell no speed";
    case TapeReason::ambiguous:
      return "other speeds fit as well, mostly a semitone apart: say how it sounds (--sounds slow, right or fast)";
    case TapeReason::tapes_disagree: return "the tapes do not agree: leave out the one that stands apart, or add more";
  }
  return "";
}

template <class... Values>
std::string print(const char* format, Values... values) {
  std::array<char, 200> text{};
  std::snprintf(text.data(), text.size(), format, values...);
  return text.data();
}

constexpr int kMostDecimals = 3;

// No more digits than the half-width knows, which is rounded up.
std::string figure(double percent, double u95_percent) {
  const int decimals = two_digit_decimals(u95_percent, kMostDecimals);
  const double unit = std::pow(10.0, -decimals);
  return print("%+.*f \u00b1 %.*f %%", decimals, percent, decimals, unit * std::ceil(u95_percent / unit - 1e-9));
}

std::string line_of(const Evidence& evidence, const TuningPrior& tuning) {
  const EvidenceSpeed speed = speed_of(evidence, tuning);
  const std::string said = figure(speed.speed_error_percent, speed.u95_percent);
  switch (evidence.kind) {
    case EvidenceKind::concert_pitch:
      return tuning.concert_a_hz
                 ? print("concert pitch: A lies at %.1f Hz, where %g is meant", evidence.measured_hz,
                         *tuning.concert_a_hz)
                 : print("concert pitch: A lies at %.1f Hz; what is meant is unknown", evidence.measured_hz);
    case EvidenceKind::line_scan:
      return print("a television's whistle of %g Hz, on the tape by %.0f %%: %s", evidence.nominal_hz,
                   100.0 * evidence.on_tape_probability, said.c_str());
    case EvidenceKind::mains_hum:
      return print("mains hum of %g Hz, on the tape by %.0f %%: %s", evidence.nominal_hz,
                   100.0 * evidence.on_tape_probability, said.c_str());
  }
  return "";
}

std::string wow_of(const TapeFindings& findings) {
  const double rms = *findings.relative_wow_rms_percent;
  const auto u95 = findings.relative_wow_u95_percent;
  std::string text =
      u95 ? print("slow wow of %.2f \u00b1 %.2f %% RMS", rms, *u95) : print("slow wow of at least %.2f %% RMS", rms);
  if (findings.wow_rate_hz && findings.wow_rate_u95_hz)
    text += print(", strongest at %.2f \u00b1 %.2f Hz", *findings.wow_rate_hz, *findings.wow_rate_u95_hz);
  return text + ", whatever the speed is";
}

std::string speeds_of(const SpeedAnswer& answer) {
  std::string text;
  for (const SpeedCandidate& candidate : answer.candidates) {
    if (!text.empty()) text += ", or ";
    text += figure(candidate.speed_error_percent, candidate.u95_percent);
  }
  return text.empty() ? "nothing says it" : text;
}

}  // namespace

std::string to_json(const TapesHeard& heard) {
  Json object = {{"schema", "four76.tape/1"}};
  object.update(json_of(heard.answer));
  object["pitch_hz"] = or_null(heard.tuning.concert_a_hz);
  object["tapes_to_go"] = heard.answer.tapes_to_go ? Json(*heard.answer.tapes_to_go) : Json(nullptr);
  object["tapes"] = Json::array();
  for (std::size_t i = 0; i < heard.files.size(); ++i) {
    const TapeFindings& findings = heard.findings[i];
    Json tape = {{"file", heard.files[i]}};
    tape.update(json_of(speed_from(std::span(&findings, 1), heard.tuning, heard.tolerance_percent, heard.sounds_like)));
    tape["heard_s"] = findings.heard_s;
    tape["disagrees"] = std::ranges::find(heard.answer.disagreeing, i) != heard.answer.disagreeing.end();
    tape["evidence"] = Json::array();
    for (const Evidence& evidence : findings.evidence) tape["evidence"].push_back(json_of(evidence, heard.tuning));
    tape["relative_wow_rms_percent"] = or_null(findings.relative_wow_rms_percent);
    tape["relative_wow_u95_percent"] = or_null(findings.relative_wow_u95_percent);
    if (findings.wow_rate_hz) {
      tape["wow_rate_hz"] = *findings.wow_rate_hz;
      tape["wow_rate_u95_hz"] = or_null(findings.wow_rate_u95_hz);
    }
    tape["drift_percent_per_minute"] = or_null(findings.drift_percent_per_minute);
    object["tapes"].push_back(std::move(tape));
  }
  return object.dump(2, ' ', false, Json::error_handler_t::replace);
}

std::string summary_of(const TapesHeard& heard) {
  std::string text;
  for (std::size_t i = 0; i < heard.files.size(); ++i) {
    const TapeFindings& findings = heard.findings[i];
    text += on_one_line(heard.files[i]) + print(": %.0f s\n", findings.heard_s);
    for (const Evidence& evidence : findings.evidence) text += "  " + line_of(evidence, heard.tuning) + '\n';
    for (const TapeReason reason : findings.reasons) text += "  " + std::string(words_of(reason)) + '\n';
    if (findings.relative_wow_rms_percent) text += "  " + wow_of(findings) + '\n';
    if (findings.drift_percent_per_minute)
      text += print("  drift %+.2f %% a minute\n", *findings.drift_percent_per_minute);
    if (std::ranges::find(heard.answer.disagreeing, i) != heard.answer.disagreeing.end())
      text += "  says something else than the rest\n";
  }
  text += "\nspeed error  " + speeds_of(heard.answer) + '\n';
  for (const TapeReason reason : heard.answer.reasons) text += "  " + std::string(words_of(reason)) + '\n';
  if (heard.answer.candidates.empty()) return text;
  if (heard.tuning.concert_a_hz)
    text += print("It goes by music that is tuned to A = %g Hz. If it was not, the speed is off by as much.\n",
                  *heard.tuning.concert_a_hz);
  if (heard.answer.tapes_to_go.value_or(0) > 0)
    text += print("%zu more like %s %s it to \u00b1 %g %%.\n", *heard.answer.tapes_to_go,
                  heard.files.size() == 1 ? "this" : "these", *heard.answer.tapes_to_go == 1 ? "brings" : "bring",
                  heard.tolerance_percent);
  if (heard.answer.status == TapeStatus::measured) text.append(1, '\n').append(safety_text()).append(1, '\n');
  return text;
}

}  // namespace four76::cli
