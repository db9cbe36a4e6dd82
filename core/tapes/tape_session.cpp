#include "core/tapes/tape_session.hpp"

#include <cmath>
#include <vector>

#include "core/signal/gaussian_noise.hpp"
#include "core/song/rate_changer.hpp"
#include "core/tapes/lines/hum_lines.hpp"
#include "core/tapes/lines/line_scan.hpp"
#include "core/tapes/pitch/concert_pitch.hpp"
#include "core/tapes/pitch/partial_tracker.hpp"
#include "core/tapes/pitch/scale_course.hpp"

namespace four76 {
namespace {

constexpr double kConcertA_hz = 440.0;
constexpr double kPercentACent = 0.0577789;  // 100 (2^(1/1200) - 1)
// Tuned: of 140 recordings of music (tests/data/music.txt) those below lie up to half a semitone off, and speech, drums
// and noise read 0.03 to 0.2.
constexpr double kLeastConcentration = 0.35;
constexpr double kLeastHeard_s = 10.0;
// A room pulls notes that begin and end: beyond what the jackknife sees. Tuned: on 42 recordings in a room, twice each.
constexpr double kRoom_cents = 1.2;
// A line of hum that does not lie where 50 or 60 Hz lies on the piece's own scale is taken for a bass note: notes lie
// on the scale, 50 Hz 35 cents above one and 60 Hz midway between two (derived). Tuned: of 140 recordings without hum
// three have a bass that lies 15 to 20 cents off that place.
constexpr double kHumAmongNotes_cents = 12.0;
// The movement that music gives reaches LineScan between two pieces, in any block: it waits 0.9 s for it at most.
constexpr double kPiece_s = 0.04;
// Lines are sought in sound with a little noise added. A file without any noise repeats what rounding leaves, and that
// looks like lines. -80 dBFS lies below any tape's own noise; at -100 an image of a tone still showed (of our own
// choosing).
constexpr double kDither = 1.7e-4;  // peak of even noise, 1e-4 RMS
constexpr double kQuiet = 1e-7;     // mean square: -70 dBFS, below any recording of a tape

double cents_over_a(double hz) noexcept { return 1200.0 * std::log2(hz / kConcertA_hz); }

bool may_be_a_note(const Evidence& hum, const Tuning& tuning) noexcept {
  const double off = cents_over_a(hum.measured_hz) - tuning.cents - cents_over_a(hum.nominal_hz);
  return std::abs(off - 100.0 * std::round(off / 100.0)) > kHumAmongNotes_cents;
}

}  // namespace

struct TapeSession::Parts {
  explicit Parts(const Config& config)
      : sample_rate_hz(config.sample_rate_hz),
        channels(static_cast<std::size_t>(config.channels)),
        piece(channels * static_cast<std::size_t>(kPiece_s * config.sample_rate_hz)),
        changer({.sample_rate_hz = config.sample_rate_hz, .channels = config.channels}),
        line_scan({.sample_rate_hz = config.sample_rate_hz, .channels = config.channels}) {}

  [[nodiscard]] static float dither(GaussianNoise& noise) noexcept {
    return static_cast<float>(kDither * (2.0 * noise.next_uniform() - 1.0));
  }

  void hear(float sample) noexcept {
    square += static_cast<double>(sample) * static_cast<double>(sample);
    samples += 1.0;
    const float dithered = sample + dither(hum_noise);
    hum.process(std::span(&dithered, 1));
    tracker.process(std::span(&sample, 1), [this](std::span<const Partial> frame) {
      pitch.add(frame);
      scale.add(frame, pitch.centre_cents());
      if (const auto movement = scale.movement()) {
        hum.moved(*movement);
        line_scan.moved(*movement);
      }
    });
  }

  void look_for_a_whistle(std::span<const float> interleaved) noexcept {
    for (std::size_t i = 0; i < interleaved.size(); ++i) piece[i] = interleaved[i] + dither(whistle_noise);
    line_scan.process(std::span(piece).first(interleaved.size()));
  }

  double sample_rate_hz;
  std::size_t channels;
  std::vector<float> piece;
  GaussianNoise hum_noise{1}, whistle_noise{2};
  double frames = 0.0, samples = 0.0, square = 0.0;
  RateChanger changer;
  PartialTracker tracker;
  ConcertPitch pitch;
  ScaleCourse scale;
  HumLines hum;
  LineScan line_scan;
};

TapeSession::TapeSession(const Config& config) : parts_(std::make_unique<Parts>(config)) {}
TapeSession::~TapeSession() = default;
TapeSession::TapeSession(TapeSession&&) noexcept = default;
TapeSession& TapeSession::operator=(TapeSession&&) noexcept = default;

void TapeSession::process(std::span<const float> interleaved) noexcept {
  parts_->frames += static_cast<double>(interleaved.size() / parts_->channels);
  const std::size_t piece = parts_->piece.size();
  for (std::size_t at = 0; at < interleaved.size(); at += piece) {
    const auto now = interleaved.subspan(at, std::min(piece, interleaved.size() - at));
    parts_->look_for_a_whistle(now);
    parts_->changer.process(now, [this](float sample) { parts_->hear(sample); });
  }
}

TapeFindings TapeSession::findings() const {
  const Parts& parts = *parts_;
  TapeFindings findings;
  findings.heard_s = parts.frames / parts.sample_rate_hz;
  const auto tuning = parts.pitch.tuning();
  const bool on_a_scale = tuning && tuning->concentration >= kLeastConcentration;
  if (on_a_scale && tuning->heard_s >= kLeastHeard_s)
    findings.evidence.push_back(
        {.kind = EvidenceKind::concert_pitch,
         .nominal_hz = kConcertA_hz,
         .measured_hz = kConcertA_hz * std::exp2(tuning->cents / 1200.0),
         .measured_u95_percent = kPercentACent * std::hypot(tuning->u95_cents, 1.96 * kRoom_cents)});
  for (const Evidence& evidence : parts.line_scan.found()) findings.evidence.push_back(evidence);
  // Without a scale nothing tells a bass from hum.
  for (const Evidence& evidence : parts.hum.found())
    if (on_a_scale && !may_be_a_note(evidence, *tuning)) findings.evidence.push_back(evidence);

  if (parts.samples > 0.0 && parts.square < kQuiet * parts.samples)
    findings.reasons.push_back(TapeReason::too_quiet);
  else if (findings.heard_s < kLeastHeard_s + 2.0)
    findings.reasons.push_back(TapeReason::too_short);
  else if (!on_a_scale)
    findings.reasons.push_back(TapeReason::no_pitch);
  if (!on_a_scale) return findings;

  if (const auto wow = parts.scale.wow()) {
    findings.relative_wow_rms_percent = wow->rms_percent;
    findings.relative_wow_u95_percent = wow->u95_percent;
    findings.wow_rate_hz = wow->rate_hz;
    findings.wow_rate_u95_hz = wow->rate_u95_hz;
  }
  findings.drift_percent_per_minute = parts.scale.drift_percent_per_minute();
  if (const auto lately = parts.scale.lately()) {
    findings.lately_percent = lately->percent;
    findings.lately_u95_percent = lately->u95_percent;
  }
  return findings;
}

}  // namespace four76
