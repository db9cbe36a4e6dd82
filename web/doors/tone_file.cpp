#include "web/doors/tone_file.hpp"

#include <algorithm>

#include "core/phrase.hpp"

namespace four76 {

std::optional<std::string_view> ToneFile::begin(const TestTone::Config& config) {
  tone_.reset();
  if (const auto fault = TestTone::fault_in(config)) return fault;
  tone_.emplace(config);
  const auto head = wav_head(config.sample_rate_hz, 1, tone_->frames());
  if (!head) return tr("That is too long for a WAV file.");
  head_ = *head;
  head_given_ = 0;
  pcm_.reset();
  return std::nullopt;
}

std::size_t ToneFile::next(std::span<std::byte> bytes) {
  if (!tone_) return 0;
  const std::size_t head = std::min(bytes.size(), head_.size() - head_given_);
  std::copy_n(head_.begin() + static_cast<std::ptrdiff_t>(head_given_), head, bytes.begin());
  head_given_ += head;
  samples_.resize((bytes.size() - head) / 2);
  const std::size_t made = tone_->process(samples_);
  pcm_.process(std::span(samples_).first(made), bytes.subspan(head, 2 * made));
  return head + 2 * made;
}

}  // namespace four76
