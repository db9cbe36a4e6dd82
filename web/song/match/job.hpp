// SongJob: in a Worker, a song read from a file, or a tape read and held against one; driven by worker.cpp.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/song/rate_changer.hpp"
#include "core/song/tape_losses.hpp"

namespace four76 {

class SongJob {
 public:
  // `frames` are those of the file. The fault in words, or nothing where it can be read.
  std::optional<std::string> begin(double sample_rate_hz, int channels, double frames, bool tape);
  // How many of the file's frames are wanted.
  [[nodiscard]] double frames_wanted() const { return frames_wanted_; }
  void take(std::span<const float> interleaved);
  // All is read: what is wrong with it, in words, or nothing.
  std::optional<std::string> finish();
  [[nodiscard]] std::span<const float> samples() const { return samples_; }

  // The tape is held against a reference that was put into this room. `progress` is told the share done.
  std::span<float> reference(std::size_t samples);
  std::vector<std::uint8_t> match(const std::function<void(double)>& progress);

 private:
  std::optional<RateChanger> changer_;
  std::optional<TapeLosses> losses_;  // of a tape
  std::vector<float> samples_, reference_;
  double frames_wanted_ = 0.0;
  double file_s_ = 0.0;
  bool tape_ = false;
};

}  // namespace four76
