#include "tests/bench/peers_picture.hpp"

#include <algorithm>

#include "tests/bench/plot.hpp"

namespace four76::bench {

namespace {

constexpr double kLeft = 250.0, kRight = 830.0, kTop = 100.0, kRow = 32.0, kThick = 20.0;

void draw_bar(SvgWriter& svg, double y, const PeerShare& share) {
  struct Piece {
    int count;
    const char* colour;
  };
  double x = kLeft;
  for (const Piece& piece : {Piece{share.silent_wrong, "wrong"}, Piece{share.given - share.silent_wrong, "own"},
                             Piece{share.scenes - share.given, "dim"}}) {
    const double width = (kRight - kLeft) * piece.count / std::max(1, share.scenes);
    svg.empty("rect", {{"class", std::string("bar ").append(piece.colour)},
                       {"x", x},
                       {"y", y},
                       {"width", width},
                       {"height", kThick}});
    x += width;
  }
  svg.text(kLeft - 10.0, y + 15.0, share.name, {{"text-anchor", "end"}});
  svg.text(kRight + 10.0, y + 15.0, std::to_string(share.silent_wrong));
}

void draw_legend(SvgWriter& svg, double y) {
  struct Entry {
    double x;
    const char *colour, *words;
  };
  for (const Entry& entry :
       {Entry{kLeft, "wrong", "silently wrong (count: right)"}, Entry{kLeft + 230.0, "own", "right, or within its ±"},
        Entry{kLeft + 420.0, "dim", "no number"}}) {
    svg.empty("rect", {{"class", std::string("bar ").append(entry.colour)},
                       {"x", entry.x},
                       {"y", y - 12.0},
                       {"width", 14.0},
                       {"height", 14.0}});
    svg.text(entry.x + 22.0, y, entry.words);
  }
}

}  // namespace

std::string peers_picture(const std::vector<PeerShare>& shares) {
  const double height = kTop + kRow * static_cast<double>(shares.size()) + 20.0;
  SvgWriter svg = picture(900.0, height, "Side by side on the same scenes",
                          "Silently wrong: off by more than 0.05 %, and by more than the ± where one is stated. Only "
                          "Four76 states one.",
                          "Shares of the scenes in which each way of reading a tone was silently wrong, right, or gave "
                          "no number.");
  draw_legend(svg, 86.0);
  double y = kTop;
  for (const PeerShare& share : shares) {
    draw_bar(svg, y, share);
    y += kRow;
  }
  return svg.finish();
}

}  // namespace four76::bench
