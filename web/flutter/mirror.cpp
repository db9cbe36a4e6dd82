// The mirror's wow and flutter: figures, components, and the measurement at a place of the tape.
#include <algorithm>
#include <cmath>

#include "web/mirror_parts.hpp"
#include "web/words.hpp"

namespace four76 {
namespace {

std::optional<double> percent_of(const std::optional<FlutterFigure>& figure) {
  return figure ? figure->percent : std::nullopt;
}

}  // namespace

void put_flutter(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture) {
  const auto& weighted = all.weighted_two_sigma;
  json.key("weighted_two_sigma_percent").value(percent_of(weighted));
  json.key("weighted_quasi_peak_percent").value(percent_of(all.weighted_quasi_peak));
  json.key("unweighted_two_sigma_percent").value(percent_of(all.unweighted_two_sigma));
  json.key("weighted_rms_percent").value(percent_of(all.weighted_rms));
  json.key("unweighted_rms_percent").value(percent_of(all.unweighted_rms));
  json.key("wow_two_sigma_percent").value(percent_of(all.wow_two_sigma));
  json.key("flutter_two_sigma_percent").value(percent_of(all.flutter_two_sigma));
  json.key("noise_floor_percent").value(weighted ? weighted->noise_percent : std::nullopt);
  json.key("drift_percent_per_minute").value(all.drift ? std::optional(all.drift->percent_per_minute) : std::nullopt);
  json.key("components").open('[');
  for (const FlutterPeak& peak : picture.peaks)
    json.open('[').value(std::optional(peak.rate_hz)).value(std::optional(peak.peak_percent)).close(']');
  json.close(']');
}

void put_flutter_words(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture) {
  const auto& weighted = all.weighted_two_sigma;
  json.key("weighted_two_sigma_percent").value(words::flutter_amount(weighted));
  json.key("weighted_quasi_peak_percent").value(words::flutter_amount(all.weighted_quasi_peak));
  json.key("unweighted_two_sigma_percent").value(words::flutter_amount(all.unweighted_two_sigma));
  json.key("weighted_rms_percent").value(words::flutter_amount(all.weighted_rms));
  json.key("unweighted_rms_percent").value(words::flutter_amount(all.unweighted_rms));
  json.key("wow_two_sigma_percent").value(words::flutter_amount(all.wow_two_sigma));
  json.key("flutter_two_sigma_percent").value(words::flutter_amount(all.flutter_two_sigma));
  json.key("noise_floor_percent").value(words::noise_floor(all));
  json.key("drift_percent_per_minute").value(words::drift_amount(all.drift));
  json.key("components").value(words::components(picture.peaks));
}

void put_measure(JsonWriter& json, const Model& model) {
  json.key("measure").open('{');
  const bool runs = measures(model);
  const auto* run = runs ? &*model.measure_run : nullptr;
  json.key("place").value(name_of(model.place));
  json.key("seconds").value(std::optional(model.settings.visit_s));
  json.key("kept_as").value(run && run->kept_as ? name_of(*run->kept_as) : "");
  json.key("progress").value(run ? std::optional(run->heard_s / run->seconds) : std::nullopt);
  json.key("left_s").value(run ? std::optional(std::ceil(std::max(0.0, run->seconds - run->heard_s))) : std::nullopt);
  json.key("act").value(words::measure_name(model));
  // The last one at the place that is chosen: what an own tape is certified by.
  const auto& last = model.measured[static_cast<std::size_t>(model.place)];
  json.key("percent").value(last ? last->whole.speed_error_percent : std::nullopt);
  json.key("u95_percent").value(last ? last->whole.u95_percent : std::nullopt);
  json.key("said").value(words::measure_said(model));
  json.key("kept").open('[');
  for (const std::string& line : words::measured(model)) json.value(line);
  json.close(']').key("difference").value(words::measured_difference(model));
  json.close('}');
}

}  // namespace four76
