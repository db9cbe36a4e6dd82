// What the tape holds: dropouts, late starts, leaders, several tones, speed that is still moving.
#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

Scene& hissed(Draw& d, Start& s) { return s.scene.noise(d.between(52.0, 70.0), s.amplitude); }

Scene few_dropouts(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  s.scene.tape(s.tape).dropouts(d.between(0.1, 0.6), d.log_between(0.02, 0.3), d.between(8.0, 40.0));
  return hissed(d, s).named({R::tape_dropout}).must_measure();
}

Scene many_dropouts(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  s.scene.tape(s.tape).dropouts(d.between(1.0, 8.0), d.log_between(0.02, 0.3), d.between(8.0, 40.0));
  return hissed(d, s).may_withhold({R::tape_dropout});
}

Scene late(Draw& d) {
  Start s = worn(d, d.between(12.0, 15.0));
  s.tape.start_s = d.between(0.5, 6.0);
  if (d.whole(0, 1) == 1) s.tape.stop_s = d.between(10.0, 12.0);
  s.scene.tape(s.tape);
  return hissed(d, s).must_measure();
}

// Recording ran before the machine did: the tone glides up from standstill.
Scene run_up(Draw& d) {
  Start s = worn(d, d.between(10.0, 15.0));
  s.tape.start_s = d.between(0.5, 3.0);
  s.tape.run_up_s = d.log_between(0.03, 0.25);
  s.scene.tape(s.tape);
  return hissed(d, s).may_withhold({R::not_steady});
}

// A hand on the volume.
Scene turned_down(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  s.scene.tape(s.tape);
  return hissed(d, s).level_steps(d.whole(1, 5), 12.0).limit({1.0, 0.0, 0.0}, 1.0).must_measure();
}

// A file with digital silence before and after.
Scene padded(Draw& d) {
  Start s = worn(d, d.between(6.0, 10.0));
  s.scene.tape(s.tape);
  return hissed(d, s).pad(d.between(0.1, 4.0), d.between(0.1, 4.0)).must_measure();
}

Scene early_stop(Draw& d) {
  Start s = worn(d, d.between(10.0, 15.0));
  s.tape.stop_s = d.between(5.0, 9.0);
  s.scene.tape(s.tape);
  return hissed(d, s).must_measure();
}

Scene speech_before(Draw& d) {
  Start s = worn(d, d.between(12.0, 15.0));
  s.tape.start_s = d.between(2.0, 6.0);
  s.scene.tape(s.tape).speech(s.amplitude * d.log_between(0.5, 3.0), 0.0, s.tape.start_s - d.between(0.0, 0.5));
  return hissed(d, s).named({R::room_noise, R::competing_tone}).must_measure();
}

// Hiss of the leader's splice, then the tone.
Scene leader(Draw& d) {
  Start s = worn(d, d.between(12.0, 15.0));
  s.tape.start_s = d.between(2.0, 6.0);
  s.scene.tape(s.tape).hiss(s.amplitude * d.log_between(0.05, 1.0), 0.0, s.tape.start_s);
  return hissed(d, s).must_measure();
}

// The same machine plays every tone of the tape, so they share its wow and its error.
Scene& tone_at(Scene& scene, Tape tape, double tone_hz, double from_s, double to_s, bool asked) {
  tape.tone_hz = tone_hz;
  tape.start_s = from_s;
  tape.stop_s = to_s;
  tape.asked = asked;
  return scene.tape(tape);
}

// One that test tapes hold besides, and no one could take for the tone.
double another_tone(Draw& d, double tone_hz) {
  for (;;) {
    const double hz = d.pick({333.0, 400.0, 1000.0, 3150.0, 6300.0, 8000.0, 10000.0});
    if (hz < 0.65 * tone_hz || hz > 1.5 * tone_hz) return hz;
  }
}

Scene other_before(Draw& d) {
  Start s = worn(d, d.between(12.0, 15.0));
  const double begin = d.between(2.0, 6.0);
  const double other = d.whole(0, 3) == 0 ? 0.9 * s.tape.tone_hz : another_tone(d, s.tape.tone_hz);
  tone_at(s.scene, s.tape, other, 0.0, begin - d.pick({0.0, 0.5}), false);
  tone_at(s.scene, s.tape, s.tape.tone_hz, begin, 1e9, true);
  return hissed(d, s).must_measure();
}

Scene several_tones(Draw& d) {
  const int count = d.whole(3, 4);
  const double each_s = d.between(4.5, 6.0);
  Start s = worn(d, count * each_s);
  const int asked = d.whole(0, count - 1);
  const double gap_s = d.pick({0.0, 0.3, 1.0});
  for (int i = 0; i < count; ++i) {
    const double hz = i == asked ? s.tape.tone_hz : another_tone(d, s.tape.tone_hz);
    tone_at(s.scene, s.tape, hz, i * each_s, i + 1 == count ? 1e9 : (i + 1) * each_s - gap_s, i == asked);
  }
  return hissed(d, s).must_measure();
}

// ---- Speed that is still moving ----------------------------------------------------------------------------------

Scene& moving(Scene& scene, double by_percent) {
  scene.may_withhold({R::not_steady});
  return by_percent > 0.5 ? scene.always_named() : scene;
}

Scene warm_up(Draw& d) {
  Start s = worn(d, d.between(10.0, 20.0));
  s.tape.warm_up_percent = d.log_between(0.2, 4.0) * d.sign();
  s.tape.warm_up_s = d.between(3.0, 15.0);
  s.scene.tape(s.tape);
  hissed(d, s);
  return moving(s.scene, std::abs(s.tape.warm_up_percent) * (1.0 - std::exp(-s.scene.seconds() / s.tape.warm_up_s)));
}

Scene sag(Draw& d) {
  Start s = worn(d, d.between(10.0, 20.0));
  s.tape.drift_percent_per_s = d.log_between(0.01, 0.4) * d.sign();
  s.scene.tape(s.tape);
  hissed(d, s);
  return moving(s.scene, std::abs(s.tape.drift_percent_per_s) * s.scene.seconds());
}

Scene stepped(Draw& d) {
  Start s = worn(d, d.between(12.0, 18.0));
  double largest = 0.0;
  double at_s = d.between(3.0, 8.0);
  for (int turns = d.whole(1, 3); turns > 0; --turns, at_s += d.between(1.0, 3.0)) {
    s.tape.steps.push_back({at_s, d.log_between(0.3, 4.0) * d.sign()});
    largest = std::max(largest, std::abs(s.tape.steps.back().percent));
  }
  s.scene.tape(s.tape);
  hissed(d, s);
  return moving(s.scene, s.tape.steps.size() == 1 ? largest : 0.0);
}

Scene wrong_tone(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.scene.nominal_hz = d.pick({3000.0, 3150.0});
  s.tape.tone_hz = 6150.0 - s.scene.nominal_hz;
  s.scene.other_tape = true;
  s.tape.error_percent = d.between(-2.2, 2.2);
  s.scene.tape(s.tape);
  return hissed(d, s).must_withhold({R::wrong_tone}).always_named();
}

}  // namespace

std::vector<SceneClass> tape_classes() {
  return {{"few dropouts", few_dropouts},
          {"many dropouts", many_dropouts},
          {"late", late},
          {"run-up", run_up},
          {"turned down", turned_down},
          {"padded", padded},
          {"early stop", early_stop},
          {"speech before", speech_before},
          {"leader", leader},
          {"other before", other_before},
          {"several tones", several_tones},
          {"warm-up", warm_up},
          {"sag", sag},
          {"stepped", stepped},
          {"wrong tone", wrong_tone}};
}

}  // namespace four76::scenes
