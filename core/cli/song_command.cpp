#include "core/cli/song_command.hpp"

#include <filesystem>
#include <ostream>
#include <system_error>
#include <vector>

#include "core/cli/audio_file.hpp"
#include "core/cli/complain.hpp"
#include "core/cli/exit_status.hpp"
#include "core/cli/song_report.hpp"
#include "core/cli/tolerance.hpp"
#include "core/cli/trace_csv.hpp"
#include "core/song/rate_changer.hpp"
#include "core/song/song_session.hpp"
#include "core/song/tape_losses.hpp"

namespace four76::cli {
namespace {

constexpr double kNoSound_s = 0.0;

// All of a file, or as much as may be used and a little more, at the rate that songs are compared at.
struct Song {
  std::vector<float> samples;
  LostSamples lost;  // of what may be used of a tape
};

Song read_song(AudioFile& file, double longest_s) {
  const auto used = static_cast<std::size_t>(kLongestTape_s * kSongRate_hz);
  TapeLosses losses(file.sample_rate_hz(), file.channels());
  RateChanger changer({.sample_rate_hz = static_cast<double>(file.sample_rate_hz()), .channels = file.channels()});
  std::vector<float> block(static_cast<std::size_t>(4096 * file.channels()));
  Song song;
  const double most = (longest_s + 1.0) * kSongRate_hz;
  while (const std::size_t frames = file.read(block)) {
    const auto heard = std::span(block).first(frames * static_cast<std::size_t>(file.channels()));
    if (song.samples.size() < used) losses.process(heard);
    changer.process(heard, [&](float sample) { song.samples.push_back(sample); });
    if (static_cast<double>(song.samples.size()) > most) break;
  }
  song.lost = losses.found();
  return song;
}

bool write_trace(TraceCsv& trace, std::span<const float> reference, std::span<const float> tape) {
  SongSession session({.sample_rate_hz = kSongRate_hz, .channels = 1}, {reference.begin(), reference.end()});
  constexpr std::size_t kBlock = 240;  // 20 ms
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at < tape.size(); at += kBlock) {
    session.process(tape.subspan(at, std::min(kBlock, tape.size() - at)));
    if (session.dial_count() != dials) trace.add(0, session.dial());
    dials = session.dial_count();
  }
  return trace.write();
}

bool same_file(const std::string& a, const std::string& b) {
  std::error_code error;
  return std::filesystem::equivalent(a, b, error);
}

}  // namespace

int run_song(const SongOptions& options, std::ostream& out, std::ostream& err) {
  if (const auto fault = fault_of_tolerance(options.tolerance_percent)) return complain(err, *fault), kBadUsage;
  auto reference_file = AudioFile::open(options.reference);
  if (!reference_file) return complain(err, options.reference, reference_file.fault()), kFileFault;
  auto tape_file = AudioFile::open(options.tape);
  if (!tape_file) return complain(err, options.tape, tape_file.fault()), kFileFault;
  std::optional<TraceCsv> trace;
  if (options.trace_file) {
    if (same_file(*options.trace_file, options.reference))
      return complain(err, *options.trace_file, "is the reference itself: give the trace another name"), kFileFault;
    auto created = TraceCsv::create(*options.trace_file, options.tape);
    if (!created) return complain(err, *options.trace_file, created.fault()), kFileFault;
    trace = std::move(*created);
  }

  const auto reference = read_song(*reference_file, kLongestReference_s).samples;
  const double reference_s = static_cast<double>(reference.size()) / kSongRate_hz;
  if (reference_s > kLongestReference_s)
    return complain(err, options.reference, "is longer than 10 minutes: cut out the song that is on the tape"),
           kBadUsage;
  const auto [tape, lost] = read_song(*tape_file, kLongestReference_s);
  for (const auto* file : {&*reference_file, &*tape_file})
    if (file->seconds_read() == kNoSound_s)
      return complain(err, file == &*tape_file ? options.tape : options.reference,
                      "is damaged, no sound can be read from it: record or copy it again"),
             kFileFault;
  const double tape_s = static_cast<double>(tape.size()) / kSongRate_hz;
  const std::size_t used = std::min(tape.size(), static_cast<std::size_t>(kLongestTape_s * kSongRate_hz));
  auto match = match_song(reference, std::span(tape).first(used), {}, lost);
  hold_against(*match, options.tolerance_percent);
  const SongMeasurement found{.reference = options.reference,
                              .tape = options.tape,
                              .reference_rate_hz = reference_file->sample_rate_hz(),
                              .tape_rate_hz = tape_file->sample_rate_hz(),
                              .reference_s = reference_s,
                              .tape_s = tape_s,
                              .used_s = static_cast<double>(used) / kSongRate_hz,
                              .tolerance_percent = options.tolerance_percent,
                              .match = std::move(*match)};
  const bool matched = found.match.status == SongStatus::matched;
  out << (options.json ? to_json(found) + '\n' : summary_of(found));
  if (const auto complaint = reference_file->complaint()) complain(err, options.reference, *complaint);
  if (const auto complaint = tape_file->complaint()) complain(err, options.tape, *complaint);
  if (!matched) complain(err, options.tape, why_not_matched(found));
  if (trace && !write_trace(*trace, reference, tape))
    return complain(err, *options.trace_file, "could not be written to its end: make room on the disk"), kFileFault;
  return matched ? kDone : kNoReading;
}

}  // namespace four76::cli
