// The rows of the speed benchmark, for both targets: the whole session and its stages, each fed both channels of the
// tape once. A stage stands alone with what it costs while the tone is followed.
#pragma once

#include <algorithm>
#include <functional>
#include <memory>
#include <span>
#include <utility>
#include <vector>

#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_spectrum.hpp"
#include "core/signal/spectrum.hpp"
#include "core/tone/capture_faults.hpp"
#include "core/tone/slip_watch.hpp"
#include "core/tone/tone_search.hpp"
#include "core/tone/tone_track.hpp"
#include "tests/bench/tape_second.hpp"

namespace four76::bench {

struct Stage {
  const char* name;
  std::function<double()> play;  // the tape once; returns something of the result, so that it is not left out
};

inline std::vector<float> channel_of(const std::vector<float>& tape, std::size_t channel) {
  std::vector<float> samples;
  for (std::size_t at = channel; at < tape.size(); at += kChannels) samples.push_back(tape[at]);
  return samples;
}

// Calls f(channel, block) for the whole tape in blocks of that many samples.
template <typename F>
void each_block(const std::vector<std::vector<float>>& channels, std::size_t block, F&& f) {
  for (std::size_t c = 0; c < channels.size(); ++c)
    for (std::size_t at = 0; at < channels[c].size(); at += block)
      f(c, std::span(channels[c]).subspan(at, std::min(block, channels[c].size() - at)));
}

inline Stage track_stage(const std::shared_ptr<std::vector<std::vector<float>>>& channels) {
  auto tracks = std::make_shared<std::vector<ToneTrack>>();
  for (int c = 0; c < kChannels; ++c) tracks->emplace_back(ToneTrack::Config{kSampleRateHz, 3000.0});
  return {"track", [=] {
            double sum = 0.0;
            for (auto& track : *tracks) track.lock(3050.0, 0);
            each_block(*channels, 256, [&](std::size_t c, std::span<const float> block) {
              for (const auto& point : (*tracks)[c].process(block)) sum += point.predicted_cycles;
            });
            return sum;
          }};
}

inline Stage slips_stage(const std::shared_ptr<std::vector<std::vector<float>>>& channels) {
  auto slips = std::make_shared<std::vector<SlipWatch>>();
  for (int c = 0; c < kChannels; ++c) slips->emplace_back(SlipWatch::Config{kSampleRateHz, 3000.0});
  return {"slips", [=] {
            for (auto& watch : *slips) watch.lock(3050.0, 0);
            each_block(*channels, 256,
                       [&](std::size_t c, std::span<const float> block) { (*slips)[c].process(block); });
            return static_cast<double>((*slips)[0].slip_count());
          }};
}

inline Stage spectrum_stage(const std::shared_ptr<std::vector<std::vector<float>>>& channels) {
  auto spectra = std::make_shared<std::vector<AveragedSpectrum>>();
  for (int c = 0; c < kChannels; ++c) spectra->emplace_back(AveragedSpectrum::Config{.sample_rate_hz = kSampleRateHz});
  return {"spectrum", [=] {
            each_block(*channels, 256,
                       [&](std::size_t c, std::span<const float> block) { (*spectra)[c].process(block); });
            return static_cast<double>((*spectra)[0].power()[512]);
          }};
}

inline Stage faults_stage(const std::shared_ptr<std::vector<std::vector<float>>>& channels) {
  auto faults = std::make_shared<std::vector<CaptureFaults>>();
  for (int c = 0; c < kChannels; ++c) faults->emplace_back(CaptureFaults::Config{kSampleRateHz, 3000.0});
  return {"faults", [=] {
            std::vector<float> copy(256);
            each_block(*channels, 256, [&](std::size_t c, std::span<const float> block) {
              std::copy(block.begin(), block.end(), copy.begin());
              (*faults)[c].process(std::span(copy).first(block.size()));
            });
            return (*faults)[0].loudest_rms();
          }};
}

// Twenty searches a second, as long as no tone is there.
inline Stage search_stage(const std::shared_ptr<std::vector<std::vector<float>>>& channels) {
  auto search = std::make_shared<ToneSearch>(ToneSearch::Config{kSampleRateHz, 3000.0});
  return {
      "search", [=] {
        double sum = 0.0;
        const auto step = static_cast<std::size_t>(kSampleRateHz / 20.0);
        for (const auto& x : *channels)
          for (std::size_t end = search->span_samples(); end <= x.size(); end += step)
            sum += search->find(std::span(x).subspan(end - search->span_samples(), search->span_samples())).has_value();
        return sum;
      }};
}

// The figures of wow and flutter with their spectrum, looked at once a second as the page does.
inline Stage flutter_stage() {
  constexpr double kPointRateHz = 1000.0;
  auto figures = std::make_shared<std::vector<FlutterFigures>>();
  auto spectra = std::make_shared<std::vector<FlutterSpectrum>>();
  for (int c = 0; c < kChannels; ++c) {
    figures->emplace_back(FlutterFigures::Config{.point_rate_hz = kPointRateHz});
    spectra->emplace_back(FlutterSpectrum::Config{.point_rate_hz = kPointRateHz});
  }
  auto second = std::make_shared<std::vector<DeviationPoint>>();
  for (int n = 0; n < static_cast<int>(kPointRateHz); ++n)
    second->push_back({0.1 * static_cast<double>(n % 131) / 131.0});
  return {"flutter", [=] {
            double sum = 0.0;
            for (std::size_t c = 0; c < kChannels; ++c)
              for (double t = 0.0; t < kTapeSeconds; t += 1.0) {
                (*figures)[c].process(*second);
                (*spectra)[c].process(*second);
                const auto view = (*spectra)[c].analyse(1e-7);
                sum += (*figures)[c].live(1e-7).counted_s + (view ? view->span_s : 0.0);
              }
            return sum;
          }};
}

inline Stage session_stage(const std::shared_ptr<std::vector<float>>& tape) {
  auto session = std::make_shared<ToneSession>(listener());
  return {"whole session", [=] {
            listen(*session, *tape);
            return session->dial(0).frequency_hz.value_or(0.0);
          }};
}

inline std::vector<Stage> stages() {
  const auto tape = std::make_shared<std::vector<float>>(worn_tape());
  const auto channels = std::make_shared<std::vector<std::vector<float>>>();
  for (std::size_t c = 0; c < kChannels; ++c) channels->push_back(channel_of(*tape, c));
  return {search_stage(channels), track_stage(channels), slips_stage(channels), spectrum_stage(channels),
          faults_stage(channels), flutter_stage(),       session_stage(tape)};
}

}  // namespace four76::bench
