// TapeSession: listens to one tape and tells what it carries of the machine's speed. Constant memory, however long.
#pragma once

#include <memory>
#include <span>

#include "core/tapes/tape_evidence.hpp"

namespace four76 {

class TapeSession {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    int channels = 1;                 // 1 or 2, interleaved
  };
  explicit TapeSession(const Config& config);
  ~TapeSession();
  TapeSession(TapeSession&&) noexcept;
  TapeSession& operator=(TapeSession&&) noexcept;

  void process(std::span<const float> interleaved) noexcept;

  // As of now. Allocates; to be asked for about once a second.
  [[nodiscard]] TapeFindings findings() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace four76
