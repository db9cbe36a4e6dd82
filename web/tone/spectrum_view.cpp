// The spectrum: what the microphone hears from 0 to 10 kHz, and the same around the tone; the tone and whatever
// disturbs it are marked and named.
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "core/phrase.hpp"
#include "web/draw/plot.hpp"
#include "web/flutter/words.hpp"
#include "web/tone/view.hpp"
#include "web/tone/words.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::views {
namespace {

constexpr std::size_t kMostMarks = 6;

draw::PlotMark mark_of(const SpectrumPeak& peak) {
  using Kind = draw::PlotMark::Kind;
  draw::PlotMark mark{peak.frequency_hz, peak.level_dbfs, words::peak_name(peak), Kind::disturbing};
  if (peak.kind == SpectrumPeak::Kind::tone) {
    mark.name = words::fixed(peak.frequency_hz, 0) + " Hz";
    mark.kind = Kind::tone;
  } else if (peak.kind == SpectrumPeak::Kind::other) {
    mark.name.clear();  // does no harm
    mark.kind = Kind::other;
  }
  return mark;
}

std::vector<draw::PlotMark> marks_of(const SpectrumSnapshot& spectrum) {
  std::vector<draw::PlotMark> marks;
  for (const SpectrumPeak& peak : spectrum.peaks)
    if (marks.size() < kMostMarks) marks.push_back(mark_of(peak));
  return marks;
}

// A floor that shows the noise but not the depths below it, in steps of 20 dB so that it does not dance.
double floor_dbfs(const SpectrumSnapshot& spectrum) {
  std::vector<float> levels = spectrum.level_dbfs;
  if (levels.empty()) return -120.0;
  const auto low = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() / 4);
  std::nth_element(levels.begin(), low, levels.end());
  return std::clamp(20.0 * std::floor((*low - 12.0) / 20.0), -160.0, -80.0);
}

void panel_with_title(const draw::Paper& paper, Rect area, std::string_view title, float right = 0.0F) {
  draw::panel(paper, area);
  draw::line(paper, paper.fonts.small, paper.ink.dim, {area.x + 10.0F, area.y + 5.0F, area.w - 20.0F - right, 20.0F},
             title);
}

Rect plot_area(const draw::Paper& paper, Rect area) {
  const float head = draw::size_of(paper.fonts.small) + 9.0F;
  return {area.x + 8.0F, area.y + head, area.w - 16.0F, area.h - head - 5.0F};
}

}  // namespace

Answer spectrum(const Model& model, const draw::Paper& paper, Rect area) {
  const bool pressed = draw::tapped(paper, "spectrum", area, words::way_to_flutter());
  const float way_on = draw::extent(paper.fonts.small, draw::size_of(paper.fonts.small), words::way_to_flutter()).x;
  const std::string scale = area.w > 480.0F ? ", " + say("dB of full scale") : "";
  const float second =
      paper.narrow ? 1.3F * draw::size_of(paper.fonts.small) : 0.0F;  // a line of its own for the way on
  panel_with_title(paper, area, std::string(words::heard(model)) + scale, paper.narrow ? 0.0F : way_on + 12.0F);
  draw::line(paper, paper.fonts.small, paper.ink.accent,
             {area.x + 10.0F, area.y + 5.0F + second, area.w - 20.0F, 20.0F}, words::way_to_flutter(),
             draw::Align::right);
  if (const ChannelSnapshot* channel = shown_channel(model)) {
    draw::PlotRange range;
    range.low_dbfs = floor_dbfs(channel->spectrum);
    draw::plot(paper, plot_area(paper, {area.x, area.y + second, area.w, area.h - second}), range, channel->spectrum,
               marks_of(channel->spectrum), 0.0);
  }
  return pressed ? Answer(intent::ChooseView{View::flutter}) : std::nullopt;
}

Answer zoom(const Model& model, const draw::Paper& paper, Rect area) {
  panel_with_title(paper, area, say("{0} around the tone", "\u00b1300 Hz"));
  const ChannelSnapshot* channel = shown_channel(model);
  if (!channel || channel->zoom.level_dbfs.empty()) {
    const Rect middle{area.x, area.y + 0.5F * area.h, area.w, draw::size_of(paper.fonts.small)};
    draw::line(paper, paper.fonts.small, paper.ink.dim, middle, tr("no tone yet"), draw::Align::centre);
    return std::nullopt;
  }
  const SpectrumSnapshot& zoomed = channel->zoom;
  const double width = zoomed.bin_hz * static_cast<double>(zoomed.level_dbfs.size());
  const draw::PlotRange range{zoomed.first_hz, zoomed.first_hz + width, floor_dbfs(zoomed), 0.0,
                              area.w > 260.0F ? 100.0 : 200.0};
  draw::plot(paper, plot_area(paper, area), range, zoomed, marks_of(zoomed), model.settings.nominal_hz);
  return std::nullopt;
}

}  // namespace four76::views
