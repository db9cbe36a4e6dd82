// DropoutWatch: moments at which the tape has lost its level: a dirty head, a worn pad, a crease, damaged coating.
//
// A dropout is a fall by 10 dB or more that lasts 10 ms or longer and comes back within a second (common practice;
// there is no one standard: trade figures run from 6 to 20 dB and from 5 to 20 ms, from memory). Its length is the time
// below half the usual level, taken at half height of its edges, which the smoothing over 5 ms does not move. Its depth
// is the lowest smoothed level, told down to 60 dB. The usual level is the median of the last 3 s, in means of 0.1 s:
// it follows a volume that is turned. A level that does not come back is the end of the tone.
//
// `valid` is false where the level cannot be read: samples were lost, or another sound covers the tone. A tone too weak
// for its phase still has a level. Voids within a dropout belong to it; other voids are not watched.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace four76 {

struct LevelPoint {
  float amplitude = 0.0F;  // of the tone, any unit
  bool valid = true;
};

struct DropoutReading {
  double watched_s = 0.0;
  std::uint64_t count = 0;
  double per_minute = 0.0;
  std::optional<double> deepest_db = std::nullopt;  // below the usual level, above 0; where there was one
  std::optional<double> longest_s = std::nullopt;
};

class DropoutWatch {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double window_s = 10.0;
  };
  static constexpr double kDepthDb = 10.0;
  static constexpr double kLeastS = 0.010, kLongestS = 1.0;
  static constexpr double kSmoothS = 0.005;

  explicit DropoutWatch(const Config& config);
  void reset() noexcept;
  void add(const LevelPoint& point) noexcept;

  // Now below half the usual level.
  [[nodiscard]] bool is_down() const noexcept { return state_ != State::up; }
  // Nothing before half a second, when there is no usual level yet.
  [[nodiscard]] std::optional<DropoutReading> live() const noexcept;
  [[nodiscard]] std::optional<DropoutReading> whole() const noexcept;

 private:
  enum class State { up, down, gone };
  struct Tally {
    std::uint64_t points = 0, count = 0;
    double deepest_db = 0.0, longest_s = 0.0;
    void add(const Tally& other) noexcept;
  };
  static constexpr std::size_t kUsual = 30, kLeastUsual = 5, kBlocks = 100;
  void learn(double amplitude) noexcept;
  void follow(double level) noexcept;
  void stay_down() noexcept;
  void come_back() noexcept;
  void pass_time(bool watched) noexcept;
  [[nodiscard]] std::optional<DropoutReading> reading(const Tally& tally) const noexcept;

  double point_rate_hz_;
  std::vector<float> smooth_;  // ring
  std::size_t smooth_next_ = 0, smooth_count_ = 0;

  std::array<float, kUsual> usual_means_{};  // ring
  std::size_t usual_next_ = 0, usual_count_ = 0, mean_points_, in_mean_ = 0;
  double mean_sum_ = 0.0, usual_ = 0.0;

  State state_ = State::up;
  double down_from_ = 0.0, lowest_ = 0.0;  // the usual level as it fell; the lowest since
  std::size_t down_points_ = 0;

  std::array<Tally, kBlocks> blocks_{};  // ring; the newest is being filled
  std::size_t block_points_, block_ = 0, in_block_ = 0;
  Tally whole_;
};

}  // namespace four76
