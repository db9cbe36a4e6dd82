#include "core/tapes/posterior_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>
#include <vector>

#include "core/phrase.hpp"
#include "core/records/svg.hpp"

namespace four76 {
namespace {

constexpr double kTop = 26.0, kSide = 22.0, kAxis = 30.0;  // room for the names, the outer labels, the labels below
constexpr double kLane = 52.0;                             // of one kind of evidence
constexpr std::size_t kStride = 8;                         // points of the grid a point of the curve: 0.04 %
// A likelihood is drawn by its logarithm, from here up: e^-4 is 1 to 55.
constexpr float kLowestLog = -4.0F;

struct Kind {
  EvidenceKind kind;
  std::string_view style;
  Phrase name;
};
constexpr std::array<Kind, 3> kKinds{{{EvidenceKind::concert_pitch, "pitch", Phrase("Concert pitch")},
                                      {EvidenceKind::line_scan, "line", Phrase("A television's whistle")},
                                      {EvidenceKind::mains_hum, "hum", Phrase("Mains hum")}}};

class Drawing {
 public:
  explicit Drawing(const PosteriorPicture& picture) : width_(picture.width) {
    put(R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.1f %.1f" role="img" aria-label=")", picture.width,
        picture.height);
    out_.append(escaped_text(tr("How likely each speed is"))).append("\">");
  }
  [[nodiscard]] double x(double percent) const {
    return kSide + (percent + kMostTapeError_percent) / (2.0 * kMostTapeError_percent) * (width_ - 2.0 * kSide);
  }
  void band(double from_percent, double to_percent, double top, double bottom) {
    put(R"(<rect class="tolerance" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>)", x(from_percent), top,
        x(to_percent) - x(from_percent), bottom - top);
  }
  // `height` gives 0 to 1 for each point of the grid.
  template <class Height>
  void curve(std::string_view style, double base, double room, Height height) {
    out_.append("<path class=\"").append(style).append("\" d=\"");
    put("M%.1f %.1f", x(-kMostTapeError_percent), base);
    for (std::size_t at = 0; at < kSpeedGridSize; at += kStride) {
      double highest = 0.0;  // a line is narrower than the stride
      for (std::size_t i = at; i < std::min(at + kStride, kSpeedGridSize); ++i) highest = std::max(highest, height(i));
      put("L%.1f %.1f", x(grid_percent(at)), base - highest * room);
    }
    put("L%.1f %.1f\"/>", x(kMostTapeError_percent), base);
  }
  void axis(double y) { put(R"(<path class="axis" d="M%.1f %.1fH%.1f"/>)", kSide, y, width_ - kSide); }
  void text(double at_x, double y, std::string_view words, std::string_view style, std::string_view anchor) {
    out_.append("<text class=\"").append(style);
    put(R"(" x="%.1f" y="%.1f" text-anchor=")", at_x, y);
    out_.append(anchor).append("\">").append(escaped_text(words)).append("</text>");
  }
  [[nodiscard]] std::string finish() { return out_.append("</svg>"); }

 private:
  template <class... Values>
  void put(const char* format, Values... values) {
    std::array<char, 160> text{};
    std::snprintf(text.data(), text.size(), format, values...);
    out_ += text.data();
  }

  double width_;
  std::string out_;
};

// Of all tapes, of one kind: what each speed's likelihood is, the highest 0; empty where none carries it.
std::vector<float> logs_of(EvidenceKind kind, std::span<const TapeFindings> tapes, const TuningPrior& prior) {
  std::vector<float> sum;
  for (const TapeFindings& tape : tapes)
    for (const Evidence& evidence : tape.evidence) {
      if (evidence.kind != kind) continue;
      const auto one = log_likelihood_of(evidence, prior);
      if (sum.empty()) sum.resize(one.size());
      for (std::size_t at = 0; at < sum.size(); ++at) sum[at] += one[at];
    }
  if (sum.empty()) return sum;
  const float highest = *std::max_element(sum.begin(), sum.end());
  for (float& one : sum) one -= highest;
  return sum;
}

}  // namespace

std::string picture_of(const SpeedAnswer& answer, std::span<const TapeFindings> tapes, const TuningPrior& prior,
                       const PosteriorPicture& picture) {
  Drawing drawing(picture);
  const double base = picture.height - kAxis;
  const double tolerance = std::clamp(picture.tolerance_percent, 0.0, kMostTapeError_percent);
  drawing.band(-tolerance, tolerance, kTop, base);

  double lane_base = base;
  for (const Kind& kind : kKinds) {
    const auto logs = logs_of(kind.kind, tapes, prior);
    if (logs.empty()) continue;
    drawing.curve(kind.style, lane_base, kLane - 26.0,
                  [&](std::size_t at) { return static_cast<double>(std::max(0.0F, 1.0F - logs[at] / kLowestLog)); });
    drawing.text(kSide, lane_base - kLane + 20.0, tr(kind.name), kind.style, "start");
    lane_base -= kLane;
  }
  if (!answer.density.empty()) {
    drawing.curve("posterior", lane_base, lane_base - kTop - 6.0,
                  [&](std::size_t at) { return static_cast<double>(answer.density[at]); });
    drawing.text(kSide, kTop - 8.0, tr("Together"), "posterior", "start");
  }
  drawing.axis(base);
  for (int percent = -8; percent <= 8; percent += 4) {
    std::string label = percent > 0 ? "+" : percent < 0 ? "\u2212" : "";
    label.append(std::to_string(std::abs(percent))).append(percent == 8 ? " %" : "");
    drawing.text(drawing.x(percent), base + 20.0, label, "axis", "middle");
  }
  return drawing.finish();
}

}  // namespace four76
