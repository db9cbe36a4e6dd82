#include "core/tone/tone_choice.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "core/tone/nominal_tones.hpp"
#include "core/tone/segments.hpp"

namespace four76 {

namespace {
constexpr std::size_t kReach = 1;  // knots to either side: a change of tone must not smear
constexpr double kLeastRunS = 0.1;
constexpr double kApart = 0.04;  // of the nominal: no speed in between
constexpr double kSurelyAnother = 0.08;
constexpr double kCountsAsGroupS = 0.15;
constexpr double kSparseS = 0.03;  // so little time in the gap does not bridge it
constexpr std::size_t kMostGroups = 16;
}  // namespace

ToneChoice::ToneChoice(std::size_t most_knots) : local_hz_(most_knots), sorted_(most_knots) {}

namespace {

// Of one segment; void knots within it are stepped over.
void find_local_of_segment(std::span<PhaseKnot> knots, std::span<double> local_hz) noexcept {
  double valid_s = 0.0;
  std::size_t valid = 0;
  for (const PhaseKnot& knot : knots) {
    if (!knot.valid) continue;
    valid_s += knot.span_s;
    ++valid;
  }
  const bool usable = valid >= 2 && valid_s >= kLeastRunS;
  const auto neighbour = [&](std::size_t from, std::ptrdiff_t step) {
    std::size_t at = from;
    for (std::size_t i = from, found = 0; found < kReach; ++found) {
      do {
        if (step < 0 ? i == 0 : i + 1 == knots.size()) return at;
        i += static_cast<std::size_t>(step);
      } while (!knots[i].valid);
      at = i;
    }
    return at;
  };
  for (std::size_t i = 0; i < knots.size(); ++i) {
    local_hz[i] = 0.0;
    if (!usable) knots[i].valid = false;
    if (!knots[i].valid) continue;
    const PhaseKnot& a = knots[neighbour(i, -1)];
    const PhaseKnot& b = knots[neighbour(i, 1)];
    local_hz[i] = (b.phase_cycles - a.phase_cycles) / (b.time_s - a.time_s);
  }
}

}  // namespace

void ToneChoice::find_local(std::span<PhaseKnot> knots) noexcept {
  for_each_segment(knots, [&](std::size_t first, std::size_t last) {
    find_local_of_segment(knots.subspan(first, last - first), std::span(local_hz_).subspan(first, last - first));
  });
}

std::size_t ToneChoice::find_groups(std::span<const PhaseKnot> knots, double nominal_hz,
                                    std::span<Group> groups) noexcept {
  std::size_t known = 0;
  for (std::size_t i = 0; i < knots.size(); ++i)
    if (knots[i].valid) sorted_[known++] = {local_hz_[i], knots[i].span_s};
  const auto all = std::span(sorted_).first(known);
  std::sort(all.begin(), all.end(), [](const Entry& a, const Entry& b) { return a.hz < b.hz; });
  std::size_t count = 0;
  // A window of kApart slides over the sorted frequencies: where it holds next to no time, groups part.
  std::size_t first = 0;
  while (first < known) {
    Group group{all[first].hz, all[first].hz, all[first].span_s, all[first].hz * all[first].span_s};
    std::size_t i = first + 1;
    for (; i < known; ++i) {
      double ahead_s = 0.0;
      for (std::size_t j = i; j < known && all[j].hz < group.highest_hz + kApart * nominal_hz && ahead_s <= kSparseS;
           ++j)
        ahead_s += all[j].span_s;
      if (ahead_s <= kSparseS) break;
      group.highest_hz = all[i].hz;
      group.total_s += all[i].span_s;
      group.weighted_hz += all[i].hz * all[i].span_s;
    }
    if (group.total_s >= kCountsAsGroupS && count < groups.size()) groups[count++] = group;
    first = i;
  }
  return count;
}

void ToneChoice::keep_one(std::span<PhaseKnot> knots, double nominal_hz) noexcept {
  assert(knots.size() <= local_hz_.size() && "more knots than the choice was made for");
  find_local(knots);
  std::array<Group, kMostGroups> groups{};
  const std::size_t count = find_groups(knots, nominal_hz, groups);
  if (count == 0) return;
  const auto all = std::span(groups).first(count);
  const auto& kept = *std::max_element(all.begin(), all.end(), [&](const Group& a, const Group& b) {
    const auto score = [&](const Group& g) {
      return g.total_s / (1.0 + 20.0 * std::abs(g.mean_hz() / nominal_hz - 1.0));
    };
    return score(a) < score(b);
  });
  const auto another = [&](double hz) {
    // The group's own stragglers lie just outside it.
    const double outside = std::max(kept.lowest_hz - hz, hz - kept.highest_hz);
    if (outside < kApart / 2.0 * nominal_hz) return false;
    if (std::abs(hz - kept.mean_hz()) < kApart * nominal_hz) return false;
    const bool far = std::abs(hz - kept.mean_hz()) > kSurelyAnother * nominal_hz;
    return far || other_standard_tone_hz(hz, kept.mean_hz()).has_value();
  };
  // Across what was taken out the phase does not carry: what follows is a segment of its own.
  std::uint32_t segment = 0;
  std::uint32_t original = 0;
  bool cut = false;
  for (std::size_t i = 0; i < knots.size(); ++i) {
    const bool taken_out = knots[i].valid && another(local_hz_[i]);
    const bool continues = i > 0 && knots[i].segment == original;
    original = knots[i].segment;
    if (taken_out) {
      knots[i].valid = false;
      cut = true;
    } else if (!continues || (cut && knots[i].valid)) {
      ++segment;
      cut = false;
    }
    knots[i].segment = segment;
  }
}

}  // namespace four76
