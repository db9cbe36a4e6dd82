#include "web/snapshot/picture.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace four76 {
namespace {

constexpr double kEveryS = 1.0;

float between(std::span<const float> bins, double at) {
  const double last = static_cast<double>(bins.size() - 1), held = std::clamp(at, 0.0, last);
  const auto left = static_cast<std::size_t>(held), right = std::min(left + 1, bins.size() - 1);
  const auto part = static_cast<float>(held - static_cast<double>(left));
  return bins[left] + part * (bins[right] - bins[left]);
}

}  // namespace

double column_hz(std::size_t column) noexcept {
  constexpr double kRatio = FlutterPicture::kHighestHz / FlutterPicture::kLowestHz;
  return FlutterPicture::kLowestHz *
         std::pow(kRatio, static_cast<double>(column) / static_cast<double>(FlutterPicture::kColumns));
}

void take_picture(const std::optional<FlutterSpectrumView>& spectrum, FlutterPicture& into) {
  into.peak_percent.clear();
  into.peaks.clear();
  into.span_s = 0.0;
  if (!spectrum || spectrum->peak_percent.empty() || !(spectrum->bin_hz > 0.0)) return;
  const std::span<const float> bins = spectrum->peak_percent;
  into.peaks.assign(spectrum->peaks.begin(), spectrum->peaks.end());
  into.span_s = spectrum->span_s;
  into.peak_percent.resize(FlutterPicture::kColumns);
  for (std::size_t column = 0; column < FlutterPicture::kColumns; ++column) {
    const double from = column_hz(column) / spectrum->bin_hz, to = column_hz(column + 1) / spectrum->bin_hz;
    float strongest = between(bins, 0.5 * (from + to));
    const auto first = static_cast<std::size_t>(std::ceil(from));
    for (std::size_t bin = first; static_cast<double>(bin) < to && bin < bins.size(); ++bin)
      strongest = std::max(strongest, bins[bin]);
    into.peak_percent[column] = strongest;
  }
}

void refresh(ToneSession& session, Stretch stretch, FlutterPictures& pictures) {
  const double now_s = session.time_s();
  const bool fresh = pictures.taken_s && now_s >= *pictures.taken_s && now_s < *pictures.taken_s + kEveryS;
  if (fresh) return;
  pictures.taken_s = now_s;
  for (int i = 0; i < session.config().channels; ++i) {
    const auto channel = static_cast<std::size_t>(i);
    const auto spectrum = session.analyse_flutter(i);
    take_picture(spectrum, pictures.channel[channel]);
    pictures.evidence[channel] = session.gather_evidence(i, stretch, spectrum);
    pictures.evidence[channel].peaks = {};
  }
}

}  // namespace four76
