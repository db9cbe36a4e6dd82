// The alignment: how a tape's file runs along its song.
#include "web/song/match/view.hpp"
#include "web/song/match/plot.hpp"
#include "web/song/words.hpp"

namespace four76::views {

Answer alignment(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const ImFont* small = paper.fonts.small;
  const float head = draw::size_of(small) + 9.0F;
  draw::line(paper, small, paper.ink.dim, {area.x + 10.0F, area.y + 5.0F, area.w - 20.0F, 20.0F},
             words::alignment_title(model));
  const AlignmentPicture picture = alignment_of(*model.song.result);
  const Rect inside{area.x + 10.0F, area.y + head, area.w - 20.0F, area.h - head - 5.0F};
  draw::alignment_plot(paper, inside, picture, model.settings.tolerance_percent,
                       words::ahead_text(picture.slope * picture.tape_s, picture.tape_s));
  return std::nullopt;
}

}  // namespace four76::views
