// What the device does to the level, the band and the channels.
#include <memory>

#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

Start heard(Draw& d, double rate_hz = 0.0) {
  Start s = worn(d, d.between(8.0, 15.0), rate_hz);
  s.scene.tape(s.tape).noise(d.between(50.0, 65.0), s.amplitude);
  return s;
}

GainControl some_control(Draw& d) {
  return {d.between(0.03, 0.2), d.log_between(0.005, 0.2), d.log_between(0.1, 4.0), d.log_between(4.0, 60.0)};
}

Scene agc(Draw& d) {
  Start s = heard(d);
  s.scene.gain_control(some_control(d));
  return s.scene.may_withhold({R::voice_processing, R::clipping}).must_measure();
}

Scene agc_speech(Draw& d) {
  Start s = heard(d);
  s.scene.coming_and_going(&Scene::speech, s.amplitude * d.log_between(0.3, 5.0)).gain_control(some_control(d));
  return s.scene.may_withhold({R::voice_processing, R::room_noise, R::competing_tone, R::clipping});
}

Scene suppressed(Draw& d) {
  Start s = heard(d);
  s.scene.noise_suppressor(d.between(1.0, 6.0), d.between(0.3, 4.0), d.between(12.0, 60.0))
      .noise(d.between(50.0, 65.0), s.amplitude * d.log_between(0.03, 0.5));
  s.scene.may_withhold({R::voice_processing, R::too_quiet, R::room_noise});
  s.scene.first_reasons = {R::voice_processing};
  return s.scene;
}

Scene spectral(Draw& d) {
  Start s = heard(d);
  if (d.whole(0, 1) == 1) s.scene.coming_and_going(&Scene::speech, s.amplitude * d.log_between(0.1, 1.0));
  s.scene.spectral_suppressor(d.log_between(0.5, 6.0), d.between(10.0, 40.0))
      .noise(d.between(55.0, 70.0), s.amplitude * d.log_between(0.03, 0.3));
  s.scene.may_withhold({R::voice_processing, R::too_quiet, R::room_noise, R::competing_tone});
  s.scene.first_reasons = {R::voice_processing, R::room_noise};
  return s.scene;
}

Scene pumped(Draw& d) {
  Start s = heard(d);
  s.scene.gate(d.log_between(0.3, 4.0), d.between(6.0, 40.0)).noise(d.between(55.0, 70.0), s.amplitude);
  s.scene.may_withhold({R::voice_processing, R::tape_dropout});
  s.scene.first_reasons = {R::voice_processing};
  return s.scene;
}

Scene clipped(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.tape.amplitude = d.log_between(1.05, 8.0);
  s.scene.tape(s.tape).noise(d.between(55.0, 70.0), s.tape.amplitude).limit({1.0, 0.0, 0.0}, 1.0).quantize(16);
  return s.scene.named({R::clipping}).always_named().must_measure();
}

// An input stage that gives up before the converter: flat tops below full scale.
Scene hard_clip_ahead(Draw& d) {
  Start s = heard(d);
  const double limit = s.amplitude * d.between(0.15, 0.7);
  s.scene.limit({limit, 0.0, d.between(-0.2, 0.2)}, d.log_between(0.3, 3.0) * 0.1 / limit);
  return s.scene.noise(70.0, 0.1).named({R::clipping}).always_named().must_measure();
}

// A stage that saturates gently: third harmonic of some percent.
Scene soft_clip_ahead(Draw& d) {
  Start s = heard(d);
  const double limit = s.amplitude * d.between(0.25, 1.0);
  s.scene.limit({limit, d.between(0.5, 1.0), d.between(-0.2, 0.2)}, d.log_between(0.3, 3.0) * 0.1 / limit);
  return s.scene.noise(70.0, 0.1).named({R::clipping}).must_measure();
}

// A wireless headset: the telephone's band, or twice that, and a codec.
Scene headset(Draw& d, bool live) {
  const double rate_hz = d.pick({8000.0, 16000.0});
  Start s = heard(d, rate_hz);
  s.scene.low_pass(0.44 * rate_hz);
  if (d.whole(0, 1) == 1) s.scene.mu_law();
  s.scene.live = live;
  s.scene.quantize(16).named({R::narrow_capture});
  if (live) return s.scene.must_withhold({R::narrow_capture});
  return rate_hz > 8000.0 ? s.scene.must_measure() : s.scene.may_withhold({R::narrow_capture});
}
Scene headset_live(Draw& d) { return headset(d, true); }
Scene headset_file(Draw& d) { return headset(d, false); }

// ---- Two channels ------------------------------------------------------------------------------------------------

Scene with_right(Scene left, Scene right) {
  left.must_measure();
  left.right = std::make_shared<Scene>(std::move(right));
  return left;
}

Scene dead_channel(Draw& d) {
  Start s = heard(d);
  Scene dead("", s.scene.sample_rate_hz, s.scene.seconds(), d.random());
  dead.nominal_hz = s.scene.nominal_hz;
  dead.hiss(d.pick({0.0, d.log_between(1e-5, 1e-3)}), 0.0, dead.seconds()).quantize(16);
  dead.must_withhold({R::no_tone, R::too_quiet, R::room_noise});
  return with_right(s.scene, dead);
}

Scene same_channel_twice(Draw& d) {
  Start s = heard(d);
  Scene copy = s.scene;
  return with_right(s.scene, copy.must_measure());
}

Scene bad_channel(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.scene.tape(s.tape);
  Scene bad = s.scene.fork();
  bad.nominal_hz = s.scene.nominal_hz;
  s.scene.noise(d.between(52.0, 70.0), s.amplitude);
  switch (d.whole(0, 3)) {
    case 0: bad.noise(d.between(15.0, 40.0), s.amplitude).may_withhold({R::room_noise, R::no_tone}); break;
    case 1: bad.dropouts(d.between(3.0, 10.0), 0.3, 40.0).may_withhold({R::tape_dropout, R::room_noise}); break;
    case 2: bad.hum(50.0, 10.0 * s.amplitude, 0.8, 80).may_withhold({R::mains_hum}); break;
    default: bad.limit({s.amplitude * 0.1, 0.0, 0.4}, 5.0).named({R::clipping}).must_measure(); break;
  }
  bad.noise(50.0, s.amplitude);
  return with_right(s.scene, bad);
}

}  // namespace

std::vector<SceneClass> device_classes() {
  return {{"agc", agc},
          {"agc speech", agc_speech},
          {"suppressed", suppressed},
          {"spectral", spectral},
          {"pumped", pumped},
          {"clipped", clipped},
          {"hard clip", hard_clip_ahead},
          {"soft clip", soft_clip_ahead},
          {"headset live", headset_live},
          {"headset file", headset_file},
          {"dead channel", dead_channel},
          {"same twice", same_channel_twice},
          {"bad channel", bad_channel}};
}

}  // namespace four76::scenes
