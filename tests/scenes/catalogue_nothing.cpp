// Nothing there that could be the tone, though much sounds like it.
#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

Scene empty(Draw& d) {
  Scene scene("", d.pick({44100.0, 48000.0, 96000.0}), d.between(8.0, 15.0), d.random());
  scene.nominal_hz = d.pick({3000.0, 3150.0});
  return scene;
}

Scene& withheld(Scene& scene) {
  return scene.must_withhold({R::no_tone, R::too_quiet, R::room_noise, R::competing_tone, R::mains_hum});
}

Scene only_noise(Draw& d) {
  Scene scene = empty(d);
  const double level = d.log_between(1e-5, 0.1);
  switch (d.whole(0, 3)) {
    case 0: scene.pink_noise(level); break;
    case 1: scene.hiss(level, 0.0, scene.seconds()); break;
    case 2: scene.fan(level, scene.nominal_hz * d.between(0.9, 1.1)).pink_noise(0.1 * level); break;
    default: break;  // silence
  }
  return withheld(scene.quantize(16));
}

Scene only_hum(Draw& d) {
  Scene scene = empty(d);
  scene.hum(d.pick({50.0, 60.0}) * (1.0 + d.between(-0.0004, 0.0004)), d.log_between(0.01, 0.3), d.between(0.7, 1.2),
            80);
  return withheld(scene.pink_noise(d.log_between(1e-4, 1e-2)));
}

Scene only_speech(Draw& d) {
  Scene scene = empty(d);
  return withheld(scene.speech(d.log_between(0.005, 0.2), 0.0, scene.seconds()).pink_noise(0.001));
}

Scene only_music(Draw& d) {
  Scene scene = empty(d);
  return withheld(scene.music(d.log_between(0.005, 0.2), 0.0, scene.seconds()).pink_noise(0.001));
}

// Someone whistles, gliding and never still.
Scene whistle(Draw& d) {
  Scene scene = empty(d);
  double hz = scene.nominal_hz * d.between(0.7, 1.3);
  for (double t = 0.5; t < scene.seconds();) {
    const double next = scene.nominal_hz * d.between(0.7, 1.3);
    const double length_s = d.between(0.3, 2.0);
    scene.glide(hz, next, d.log_between(0.03, 0.2), t, t + length_s);
    t += length_s + d.between(0.0, 0.5);
    hz = next;
  }
  scene.pink_noise(0.002);
  return scene.must_withhold({R::no_tone, R::not_steady, R::competing_tone});
}

// A voice or an instrument that holds a note for a second or two, high enough to be taken for the tone.
Scene held_note(Draw& d) {
  Scene scene = empty(d);
  const double amplitude = d.log_between(0.03, 0.2);
  for (double t = d.between(0.5, 2.0); t < scene.seconds();) {
    const double length_s = d.between(1.0, 2.0);
    const double hz = scene.nominal_hz * d.between(0.8, 1.2) / d.pick({1.0, 2.0, 4.0, 5.0});
    scene.singer(hz, amplitude, t, t + length_s);
    t += length_s + d.between(0.5, 2.5);
  }
  scene.pink_noise(0.002);
  return scene.must_withhold({R::no_tone, R::not_steady, R::too_short, R::competing_tone});
}

}  // namespace

std::vector<SceneClass> nothing_classes() {
  return {{"only noise", only_noise}, {"only hum", only_hum}, {"only speech", only_speech},
          {"only music", only_music}, {"whistle", whistle},   {"held note", held_note}};
}

}  // namespace four76::scenes
