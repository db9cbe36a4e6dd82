#include "web/flutter/mirror.hpp"

#include <algorithm>
#include <cmath>

#include "web/flutter/words.hpp"

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

}  // namespace four76
