// The catalogue: every class of trouble at several levels, lengths and sample rates.
#include <array>
#include <cmath>
#include <functional>

#include "tests/scenes/scene.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

struct Draw {
  std::mt19937_64& random;
  double between(double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); }
  double log_between(double a, double b) { return std::exp(between(std::log(a), std::log(b))); }
  template <typename T>
  T pick(std::initializer_list<T> of) {
    return *(of.begin() + static_cast<std::ptrdiff_t>(random() % of.size()));
  }
};

struct Start {
  Scene scene;
  Tape tape;
};

Start start(const char* group, Draw& draw, double seconds, double rate_hz = 0.0) {
  const double rate = rate_hz > 0.0 ? rate_hz : draw.pick({44100.0, 48000.0, 96000.0});
  Start s{Scene(group, rate, seconds, draw.random()), {}};
  s.scene.group = group;
  s.scene.nominal_hz = draw.pick({3000.0, 3000.0, 3150.0});
  s.tape.tone_hz = s.scene.nominal_hz;
  s.tape.error_percent = draw.between(-3.0, 2.4);
  s.tape.amplitude = draw.log_between(0.01, 0.3);
  return s;
}

Start worn(const char* group, Draw& draw, double seconds, double rate_hz = 0.0) {
  Start s = start(group, draw, seconds, rate_hz);
  s.tape = portable_wow(s.tape, draw.between(0.05, 0.4), draw.random);
  s.tape.amplitude_flutter_db = draw.between(0.0, 0.7);
  return s;
}

using Maker = std::function<Scene(Draw&)>;

Scene clean(Draw& d) {
  Start s = start("clean", d, d.pick({3.0, 5.0, 10.0, 10.0}));
  s.scene.nominal_hz = d.pick({3000.0, 3150.0, 1000.0, 440.0, 315.0, 6300.0});
  s.tape.tone_hz = s.scene.nominal_hz;
  return s.scene.tape(s.tape).noise(d.between(52.0, 80.0), s.tape.amplitude).quantize(16).must_measure();
}

Scene wow(Draw& d) {
  Start s = worn("wow", d, d.pick({8.0, 10.0, 20.0}));
  return s.scene.tape(s.tape).noise(d.between(50.0, 75.0), s.tape.amplitude).quantize(16).must_measure();
}

Scene swing(Draw& d) {
  Start s = start("swing", d, 12.0);
  s.tape.wow = {{d.between(0.4, 3.0), d.between(2.0, 10.0)}};
  return s.scene.tape(s.tape).noise(d.between(60.0, 75.0), s.tape.amplitude).may_withhold({R::not_steady});
}

Scene weak(Draw& d) {
  Start s = worn("weak", d, 10.0);
  return s.scene.tape(s.tape)
      .noise(d.between(35.0, 46.0), s.tape.amplitude)
      .may_withhold({R::room_noise, R::too_quiet});
}

Scene drowned(Draw& d) {
  Start s = worn("drowned", d, 10.0);
  return s.scene.tape(s.tape)
      .noise(d.between(10.0, 26.0), s.tape.amplitude)
      .must_withhold({R::room_noise, R::no_tone, R::too_quiet});
}

Scene quiet(Draw& d) {
  Start s = worn("quiet", d, 10.0, 48000.0);
  s.tape.amplitude = d.log_between(2e-5, 4e-4);
  return s.scene.tape(s.tape)
      .noise(d.between(30.0, 60.0), s.tape.amplitude)
      .quantize(16)
      .may_withhold({R::too_quiet, R::room_noise, R::no_tone});
}

Scene hum(Draw& d) {
  Start s = worn("hum", d, 10.0);
  if (d.pick({0, 1}) == 1) s.tape.error_percent = d.between(-0.05, 0.05);
  s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.tape.amplitude);
  return s.scene.hum(d.pick({50.0, 60.0}), s.tape.amplitude * d.log_between(0.3, 10.0), d.between(0.7, 1.5), 80)
      .may_withhold({R::mains_hum});
}

Scene speech(Draw& d) {
  Start s = worn("speech", d, 15.0);
  s.scene.tape(s.tape).noise(d.between(52.0, 65.0), s.tape.amplitude);
  const double from = d.pick({0.0, 3.0});
  return s.scene.speech(s.tape.amplitude * d.log_between(0.3, 4.0), from, d.pick({7.0, 15.0}))
      .may_withhold({R::room_noise, R::competing_tone});
}

Scene music(Draw& d) {
  Start s = worn("music", d, 15.0);
  s.scene.tape(s.tape).noise(d.between(52.0, 65.0), s.tape.amplitude);
  return s.scene.music(s.tape.amplitude * d.log_between(0.3, 4.0), d.pick({0.0, 4.0}), d.pick({8.0, 15.0}))
      .may_withhold({R::room_noise, R::competing_tone});
}

Scene second_tone(Draw& d) {
  Start s = worn("second tone", d, 10.0);
  const double offset = d.log_between(3.0, 600.0) * d.pick({-1.0, 1.0});
  s.scene.tape(s.tape).noise(d.between(55.0, 70.0), s.tape.amplitude);
  return s.scene.steady_tone(s.scene.set_hz + offset, s.tape.amplitude * d.log_between(0.01, 0.9))
      .may_withhold({R::competing_tone, R::mains_hum, R::not_steady, R::room_noise});
}

Scene room(Draw& d) {
  Start s = worn("room", d, 12.0, d.pick({44100.0, 48000.0}));
  s.scene.tape(s.tape)
      .reverb(d.between(0.2, 0.9), d.between(0.3, 2.0))
      .pink_noise(s.tape.amplitude * d.log_between(0.02, 0.5));
  return s.scene.may_withhold({R::room_noise, R::competing_tone, R::tape_dropout, R::mains_hum});
}

Scene agc(Draw& d) {
  Start s = worn("agc", d, 12.0, 48000.0);
  s.scene.tape(s.tape).noise(d.between(45.0, 60.0), s.tape.amplitude).speech(s.tape.amplitude * 0.5, 3.0, 6.0);
  return s.scene.gain_control(d.between(0.05, 0.2), 0.05, d.between(0.5, 3.0))
      .may_withhold({R::voice_processing, R::room_noise, R::competing_tone, R::clipping});
}

Scene suppressed(Draw& d) {
  Start s = worn("suppressed", d, 15.0, 48000.0);
  s.scene.tape(s.tape).noise(d.between(50.0, 60.0), s.tape.amplitude);
  return s.scene.noise_suppressor(d.between(1.0, 5.0), d.between(0.5, 4.0), d.between(15.0, 50.0))
      .noise(60.0, s.tape.amplitude * 0.3)
      .may_withhold({R::voice_processing, R::tape_dropout, R::too_quiet, R::room_noise});
}

Scene pumped(Draw& d) {
  Start s = worn("pumped", d, 12.0, 48000.0);
  s.scene.tape(s.tape).noise(d.between(50.0, 60.0), s.tape.amplitude);
  return s.scene.gate(d.between(0.3, 3.0), d.between(8.0, 30.0))
      .noise(65.0, s.tape.amplitude)
      .may_withhold({R::voice_processing, R::tape_dropout});
}

Scene clipped(Draw& d) {
  Start s = worn("clipped", d, 8.0);
  s.tape.amplitude = d.between(1.1, 6.0);
  s.scene.tape(s.tape).noise(d.between(55.0, 70.0), s.tape.amplitude);
  return s.scene.clip(1.0, 1.0).quantize(16).must_measure().named({R::clipping});
}

Scene limited(Draw& d) {
  Start s = worn("limited before", d, 8.0, d.pick({44100.0, 48000.0}));
  s.scene.tape(s.tape).noise(d.between(55.0, 70.0), s.tape.amplitude);
  return s.scene.clip(s.tape.amplitude * d.between(0.2, 0.65), 1.0)
      .noise(70.0, s.tape.amplitude)
      .must_measure()
      .named({R::clipping});
}

Scene inserted(Draw& d) {
  Start s = worn("inserted zeros", d, 12.0, d.pick({44100.0, 48000.0}));
  s.scene.tape(s.tape).noise(d.between(50.0, 70.0), s.tape.amplitude);
  return s.scene.insert_zeros(static_cast<int>(d.between(1.0, 12.0)), d.pick<std::size_t>({128, 441, 1024, 4800}))
      .may_withhold({R::capture_gap});
}

Scene deleted(Draw& d) {
  Start s = worn("deleted samples", d, 12.0, d.pick({44100.0, 48000.0}));
  s.scene.tape(s.tape).noise(d.between(50.0, 70.0), s.tape.amplitude);
  return s.scene
      .delete_samples(static_cast<int>(d.between(1.0, 12.0)), static_cast<std::size_t>(d.log_between(3.0, 3000.0)))
      .may_withhold({R::capture_gap});
}

Scene headset(Draw& d) {
  Start s = worn("headset", d, 10.0, d.pick({8000.0, 16000.0}));
  s.scene.tape(s.tape).noise(d.between(50.0, 65.0), s.tape.amplitude);
  return s.scene.may_withhold({R::narrow_capture}).named({R::narrow_capture});
}

Scene dropouts(Draw& d) {
  Start s = worn("dropouts", d, 12.0);
  s.scene.tape(s.tape).dropouts(static_cast<int>(d.between(2.0, 25.0)), d.log_between(0.02, 0.3),
                                d.between(15.0, 40.0));
  return s.scene.noise(d.between(52.0, 70.0), s.tape.amplitude).may_withhold({R::tape_dropout});
}

Scene late(Draw& d) {
  Start s = worn("late", d, 15.0, d.pick({44100.0, 48000.0}));
  s.tape.start_s = d.between(1.0, 5.0);
  s.tape.stop_s = d.between(10.0, 14.5);
  s.scene.tape(s.tape);
  const double before = s.scene.start_s = s.tape.start_s;
  switch (d.pick({0, 1, 2})) {
    case 0: s.scene.speech(s.tape.amplitude, 0.0, before); break;
    case 1: {
      Tape other = s.tape;
      other.tone_hz = d.pick({1000.0, 400.0, 6300.0, 2700.0});
      other.start_s = 0.0;
      other.stop_s = before;
      const double mean = s.scene.true_mean_hz;
      const double set = s.scene.set_hz;
      const auto trace = s.scene.true_hz;
      s.scene.tape(other);
      s.scene.true_mean_hz = mean;
      s.scene.set_hz = set;
      s.scene.true_hz = trace;
      break;
    }
    default: break;
  }
  return s.scene.noise(d.between(52.0, 70.0), s.tape.amplitude).must_measure();
}

Scene moving(Draw& d) {
  Start s = worn("moving", d, 15.0);
  s.tape.drift_percent_per_s = d.between(0.05, 0.4) * d.pick({-1.0, 1.0});
  return s.scene.tape(s.tape)
      .noise(d.between(55.0, 70.0), s.tape.amplitude)
      .may_withhold({R::not_steady})
      .named({R::not_steady});
}

Scene stepped(Draw& d) {
  Start s = worn("stepped", d, 15.0);
  s.tape.step_s = d.between(4.0, 11.0);
  s.tape.step_percent = d.log_between(0.8, 4.0) * d.pick({-1.0, 1.0});
  return s.scene.tape(s.tape)
      .noise(d.between(55.0, 70.0), s.tape.amplitude)
      .may_withhold({R::not_steady})
      .named({R::not_steady});
}

Scene no_tone(Draw& d) {
  Scene scene("no tone", d.pick({44100.0, 48000.0}), 10.0, d.random());
  scene.group = "no tone";
  switch (d.pick({0, 1, 2, 3, 4})) {
    case 0: scene.pink_noise(d.log_between(1e-4, 0.1)); break;
    case 1: scene.speech(0.05, 0.0, 10.0).pink_noise(0.001); break;
    case 2: scene.music(0.05, 0.0, 10.0).pink_noise(0.001); break;
    case 3: scene.hum(50.0, 0.1, 1.0, 30).pink_noise(0.001); break;
    default: break;
  }
  return scene.must_withhold({R::no_tone, R::too_quiet, R::room_noise, R::competing_tone, R::mains_hum});
}

Scene wrong(Draw& d) {
  Start s = worn("wrong tone", d, 10.0);
  s.scene.nominal_hz = d.pick({3000.0, 3150.0});
  s.tape.tone_hz = 6150.0 - s.scene.nominal_hz;
  s.tape.error_percent = d.between(-1.2, 1.2);
  return s.scene.tape(s.tape)
      .noise(d.between(52.0, 70.0), s.tape.amplitude)
      .may_withhold({R::wrong_tone})
      .named({R::wrong_tone});
}

}  // namespace

void for_each_scene(std::uint64_t seed, int per_class, const std::string& only,
                    const std::function<void(const Scene&)>& f) {
  const std::vector<std::pair<std::string, Maker>> makers = {{"clean", clean},
                                                             {"wow", wow},
                                                             {"swing", swing},
                                                             {"weak", weak},
                                                             {"drowned", drowned},
                                                             {"quiet", quiet},
                                                             {"hum", hum},
                                                             {"speech", speech},
                                                             {"music", music},
                                                             {"second tone", second_tone},
                                                             {"room", room},
                                                             {"agc", agc},
                                                             {"suppressed", suppressed},
                                                             {"pumped", pumped},
                                                             {"clipped", clipped},
                                                             {"limited before", limited},
                                                             {"inserted zeros", inserted},
                                                             {"deleted samples", deleted},
                                                             {"headset", headset},
                                                             {"dropouts", dropouts},
                                                             {"late", late},
                                                             {"moving", moving},
                                                             {"stepped", stepped},
                                                             {"no tone", no_tone},
                                                             {"wrong tone", wrong}};
  std::uint64_t number = 0;
  for (const auto& [name, make] : makers)
    for (int i = 0; i < per_class; ++i) {
      const std::string full_name = name + " " + std::to_string(i);
      std::mt19937_64 random(seed * 1000003 + ++number);
      if (!only.empty() && only != full_name) continue;
      Draw draw{random};
      Scene scene = make(draw);
      scene.name = full_name;
      f(scene);
    }
}

}  // namespace four76::scenes
