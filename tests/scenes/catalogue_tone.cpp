// The tone itself: clean, with wow, far off, weak, quiet.
#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

Scene clean(Draw& d) {
  Start s = start(d, d.pick({5.0, 8.0, 12.0, 15.0, 30.0}));
  s.tape.tone_hz = s.scene.nominal_hz = d.pick({3000.0, 3150.0, 1000.0, 440.0, 315.0, 6300.0});
  return s.scene.tape(s.tape).noise(d.between(52.0, 80.0), s.amplitude).quantize(16).must_measure();
}

Scene clean_10s(Draw& d) {
  Start s = start(d, 10.0);
  return s.scene.tape(s.tape).noise(d.between(52.0, 80.0), s.amplitude).quantize(16).must_measure();
}

Scene wow(Draw& d) {
  const double seconds = d.pick({8.0, 10.0, 12.0, 20.0, 30.0});
  Start s = start(d, seconds);
  add_portable_wow(s.tape, d.log_between(0.05, 0.4), seconds, d.random);
  s.tape.level = random_process(d.between(0.0, 0.7), 3.0, d.random);
  return s.scene.tape(s.tape).noise(d.between(50.0, 75.0), s.amplitude).quantize(16).must_measure();
}

Scene wow_02(Draw& d) {
  Start s = start(d, 10.0);
  add_portable_wow(s.tape, 0.2, 10.0, d.random);
  return s.scene.tape(s.tape).noise(d.between(52.0, 75.0), s.amplitude).quantize(16).must_measure();
}

Scene random_wow(Draw& d) {
  const double seconds = d.between(8.0, 20.0);
  Start s = start(d, seconds);
  s.tape.wow = random_process(1.0, d.log_between(0.8, 20.0), d.random);
  scale_to_weighted(s.tape.wow, d.between(0.05, 0.3), seconds);
  return s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.amplitude).must_measure();
}

// One part far out of true: a bent capstan, an oval reel, a slipping belt.
Scene swing(Draw& d) {
  Start s = start(d, d.between(8.0, 15.0));
  s.tape.wow = {{d.log_between(0.4, 8.0), d.log_between(1.0, 10.0), d.between(0.0, 6.28)}};
  return s.scene.tape(s.tape).noise(d.between(58.0, 75.0), s.amplitude).may_withhold({R::not_steady});
}

// An old sound card: few bits, no dither, an offset.
Scene few_bits(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0), d.pick({22050.0, 32000.0, 44100.0, 192000.0}));
  s.scene.tape(s.tape);
  const auto offset = static_cast<float>(d.between(-0.2, 0.2));
  for (float& x : s.scene.samples) x += offset;
  return s.scene.quantize(s.amplitude > 0.05 ? 8 : 12).must_measure();
}

Scene brief(Draw& d) {
  Start s = worn(d, d.log_between(0.2, 4.0));
  return s.scene.tape(s.tape).noise(d.between(55.0, 75.0), s.amplitude).may_withhold({R::too_short, R::not_steady});
}

// The head's azimuth sways, or the supply hums into the level: the speed has no part in it.
Scene swaying_level(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.scene.tape(s.tape).amplitude_modulation(d.pick({50.0, 100.0, 120.0, d.between(0.3, 12.0)}), d.between(0.05, 0.5));
  return s.scene.noise(d.between(52.0, 70.0), s.amplitude).must_measure();
}

Scene far_off(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.tape.error_percent = d.between(4.0, 23.0) * d.sign();
  return s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.amplitude).must_measure();
}

Scene weak(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  return s.scene.tape(s.tape).noise(d.between(34.0, 46.0), s.amplitude).may_withhold({R::room_noise, R::too_quiet});
}

Scene drowned(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  return s.scene.tape(s.tape)
      .noise(d.between(5.0, 28.0), s.amplitude)
      .may_withhold({R::room_noise, R::no_tone, R::too_quiet});
}

Scene quiet(Draw& d) {
  Start s = worn(d, 10.0);
  s.tape.amplitude = d.log_between(2e-5, 4e-4);
  s.scene.tape(s.tape).noise(d.between(30.0, 60.0), s.tape.amplitude);
  return s.scene.quantize(16).may_withhold({R::too_quiet, R::room_noise, R::no_tone});
}

}  // namespace

std::vector<SceneClass> tone_classes() {
  return {{"clean", clean},
          {"clean 10 s", clean_10s, 3},
          {"wow", wow},
          {"wow 0.2 %", wow_02, 3},
          {"random wow", random_wow},
          {"swing", swing},
          {"far off", far_off},
          {"few bits", few_bits},
          {"brief", brief},
          {"swaying level", swaying_level},
          {"weak", weak},
          {"drowned", drowned},
          {"quiet", quiet}};
}

}  // namespace four76::scenes
