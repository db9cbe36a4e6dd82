#include "web/song/match/result.hpp"

#include <algorithm>
#include <utility>

#include "web/snapshot/flat_bytes.hpp"

namespace four76 {
namespace {

using flat::Reader;
using flat::Writer;

constexpr std::uint32_t kMagic = 0x4d363746;  // "F76M"
constexpr std::uint32_t kVersion = 2;

void put_fit(Writer& out, const SongFit& fit) {
  for (const double value : {fit.speed_error_percent, fit.u95_percent, fit.start_s, fit.scatter_s, fit.rough_s,
                             fit.held_s, fit.longest_s, fit.held_share, fit.evidence, fit.best_evidence})
    out.put(value);
  out.put(static_cast<std::int32_t>(fit.edits));
  out.put(fit.wow_rms_percent);
  out.put(fit.wow_rms_u95_percent);
}

SongFit get_fit(Reader& in) {
  SongFit fit;
  for (double* value : {&fit.speed_error_percent, &fit.u95_percent, &fit.start_s, &fit.scatter_s, &fit.rough_s,
                        &fit.held_s, &fit.longest_s, &fit.held_share, &fit.evidence, &fit.best_evidence})
    *value = in.get<double>();
  fit.edits = in.get<std::int32_t>();
  fit.wow_rms_percent = in.get_optional();
  fit.wow_rms_u95_percent = in.get_optional();
  return fit;
}

void put_path(Writer& out, const DelayPath& path) {
  out.put(path.speed);
  out.put(static_cast<std::uint32_t>(path.points.size()));
  for (const DelayPoint& point : path.points) {
    out.put(point.tape_s);
    out.put(point.lead_s);
    out.put(point.z);
    out.put<std::uint8_t>(point.heard ? 1 : 0);
    out.put<std::uint8_t>(point.compared ? 1 : 0);
    out.put<std::uint8_t>(point.held ? 1 : 0);
    out.put(static_cast<std::int32_t>(point.piece));
  }
}

DelayPath get_path(Reader& in) {
  DelayPath path;
  path.speed = in.get<double>();
  path.points.resize(in.get_count(3 * sizeof(double) + 3 + sizeof(std::int32_t)));
  for (DelayPoint& point : path.points) {
    point.tape_s = in.get<double>();
    point.lead_s = in.get<double>();
    point.z = in.get<double>();
    point.heard = in.get_flag();
    point.compared = in.get_flag();
    point.held = in.get_flag();
    point.piece = in.get<std::int32_t>();
  }
  return path;
}

}  // namespace

bool has_speed(const SongMatch& match) noexcept {
  if (!match.fit || match.status == SongStatus::not_matched) return false;
  // A stretch of some seconds alone may be chance, another recording has a speed of its own, and so have lost samples.
  return std::none_of(match.reasons.begin(), match.reasons.end(), [&](SongReason reason) {
    return reason == SongReason::different_recording || reason == SongReason::too_little_overlap ||
           (reason == SongReason::capture_gap && match.status != SongStatus::matched);
  });
}

Reading reading_of(const SongResult& result) noexcept {
  Reading reading;
  reading.time_s = result.used_s;
  if (result.match.status == SongStatus::unreliable) reading.status = Status::unreliable;
  if (!has_speed(result.match)) return reading;
  if (result.match.status == SongStatus::matched) reading.status = Status::measured;
  const SongFit& fit = *result.match.fit;
  reading.speed_error_percent = reading.plain_speed_error_percent = fit.speed_error_percent;
  reading.u95_percent = fit.u95_percent;
  reading.trusted_s = fit.held_s;
  return reading;
}

std::vector<std::uint8_t> encode(const SongResult& result) {
  Writer out = flat::begun();
  out.put(result.tape_s);
  out.put(result.used_s);
  out.put(static_cast<std::uint8_t>(result.match.status));
  out.put(static_cast<std::uint32_t>(result.match.reasons.size()));
  for (const SongReason reason : result.match.reasons) out.put(static_cast<std::uint8_t>(reason));
  out.put(result.match.second_best_ratio);
  out.put<std::uint8_t>(result.match.fit ? 1 : 0);
  if (result.match.fit) put_fit(out, *result.match.fit);
  put_path(out, result.match.path);
  return flat::sealed(std::move(out), kMagic, kVersion);
}

std::optional<SongResult> decode_song(std::span<const std::uint8_t> bytes) {
  auto opened = flat::opened(bytes, kMagic, kVersion);
  if (!opened) return std::nullopt;
  Reader& in = *opened;
  SongResult result;
  result.tape_s = in.get<double>();
  result.used_s = in.get<double>();
  result.match.status = in.get_enum(SongStatus::matched);
  result.match.reasons.resize(in.get_count(1));
  for (SongReason& reason : result.match.reasons) reason = in.get_enum(SongReason::capture_gap);
  result.match.second_best_ratio = in.get_optional();
  if (in.get_flag()) result.match.fit = get_fit(in);
  result.match.path = get_path(in);
  if (!in.complete()) return std::nullopt;
  return result;
}

}  // namespace four76
