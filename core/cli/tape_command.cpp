#include "core/cli/tape_command.hpp"

#include <ostream>

#include "core/cli/audio_file.hpp"
#include "core/cli/complain.hpp"
#include "core/cli/exit_status.hpp"
#include "core/cli/tape_report.hpp"
#include "core/cli/tolerance.hpp"
#include "core/tapes/tape_session.hpp"

namespace four76::cli {
namespace {

constexpr double kLowestPitch_hz = 380.0, kHighestPitch_hz = 500.0;

TapeFindings listen_to(AudioFile& file) {
  TapeSession session({.sample_rate_hz = static_cast<double>(file.sample_rate_hz()), .channels = file.channels()});
  std::vector<float> block(static_cast<std::size_t>(4096 * file.channels()));
  while (const std::size_t frames = file.read(block))
    session.process(std::span(block).first(frames * static_cast<std::size_t>(file.channels())));
  return session.findings();
}

}  // namespace

int run_tape(const TapeOptions& options, std::ostream& out, std::ostream& err) {
  if (const auto fault = fault_of_tolerance(options.tolerance_percent)) return complain(err, *fault), kBadUsage;
  if (const auto pitch = options.tuning.concert_a_hz;
      pitch && !(*pitch >= kLowestPitch_hz && *pitch <= kHighestPitch_hz))
    return complain(err, "--pitch takes 380 to 500 Hz, or unknown: 440 is the usual concert pitch"), kBadUsage;

  TapesHeard heard;
  heard.tuning = options.tuning;
  heard.tolerance_percent = options.tolerance_percent;
  heard.sounds_like = options.sounds_like;
  bool file_fault = false;
  for (const std::string& name : options.files) {
    auto file = AudioFile::open(name);
    if (!file) {
      complain(err, name, file.fault());
      file_fault = true;
      continue;
    }
    const TapeFindings findings = listen_to(*file);
    if (findings.heard_s <= 0.0) {
      complain(err, name, "is damaged, no sound can be read from it: record or copy it again");
      file_fault = true;
      continue;
    }
    if (const auto complaint = file->complaint()) complain(err, name, *complaint);
    heard.files.push_back(name);
    heard.findings.push_back(findings);
  }
  if (heard.files.empty()) return kFileFault;
  heard.answer = speed_from(heard.findings, heard.tuning, heard.tolerance_percent, heard.sounds_like);
  out << (options.json ? to_json(heard) + '\n' : summary_of(heard));
  if (file_fault) return kFileFault;
  return heard.answer.status == TapeStatus::measured ? kDone : kNoReading;
}

}  // namespace four76::cli
