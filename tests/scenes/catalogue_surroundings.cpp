// What else sounds: mains hum, fans, television, music, second tones, birds, echoes, live rooms.
#include <algorithm>
#include <cmath>

#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

// A scene with that trouble counts as plain, and must be measured, where it is mild.
Scene judged(Scene& scene, bool mild, std::vector<Reason> reasons) {
  scene.may_withhold(std::move(reasons));
  return mild ? scene.must_measure() : scene;
}

Start heard(Draw& d, double shortest_s, double longest_s) {
  Start s = worn(d, d.between(shortest_s, longest_s));
  s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.amplitude);
  return s;
}

// Mains is held to 0.02 % nearly always, and to 0.4 % at worst (common practice).
double mains_hz(Draw& d) { return d.pick({50.0, 60.0}) * (1.0 + d.between(-0.0004, 0.0004)); }

Scene hum(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double relative = d.log_between(0.1, 10.0);
  s.scene.hum(mains_hz(d), s.amplitude * relative, d.between(0.7, 1.5), 80);
  return judged(s.scene, relative < 0.3, {R::mains_hum});
}

// A harmonic within 0.05 % of the tone: 3000 Hz is the 60th of 50 Hz and the 50th of 60 Hz.
Scene hum_on_tone(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  const double mains = mains_hz(d);
  const double harmonic = std::round(3000.0 / mains) * mains;
  s.scene.nominal_hz = s.tape.tone_hz = 3000.0;
  s.tape.error_percent = 100.0 * (harmonic / 3000.0 - 1.0) + d.between(-0.05, 0.05);
  s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.amplitude);
  s.scene.hum(mains, s.amplitude * d.log_between(0.3, 10.0), d.between(0.7, 1.3), 80);
  return s.scene.may_withhold({R::mains_hum});
}

Scene fan(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double relative = d.log_between(0.1, 3.0);
  s.scene.fan(s.amplitude * relative, d.pick({s.scene.set_hz, d.between(500.0, 5000.0)}));
  return judged(s.scene, relative < 0.2, {R::room_noise, R::competing_tone});
}

// Water about to boil: the noise grows by the second.
Scene kettle(Draw& d) {
  Start s = heard(d, 10.0, 15.0);
  Scene noise("", s.scene.sample_rate_hz, s.scene.seconds(), d.random());
  noise.pink_noise(1.0);
  const double loudest = s.amplitude * d.log_between(0.3, 5.0);
  const auto count = static_cast<double>(s.scene.samples.size());
  for (std::size_t n = 0; n < noise.samples.size(); ++n)
    s.scene.samples[n] +=
        noise.samples[n] * static_cast<float>(loudest * from_db(40.0 * static_cast<double>(n) / count - 40.0));
  return s.scene.may_withhold({R::room_noise});
}

Scene television(Draw& d) {
  Start s = heard(d, 10.0, 15.0);
  const double relative = d.log_between(0.1, 4.0);
  s.scene.coming_and_going(&Scene::speech, s.amplitude * relative);
  return judged(s.scene, relative < 0.3, {R::room_noise, R::competing_tone});
}

Scene speech_through(Draw& d) {
  Start s = heard(d, 10.0, 15.0);
  const double relative = d.log_between(0.05, 3.0);
  s.scene.speech(s.amplitude * relative, 0.0, s.scene.seconds());
  return judged(s.scene, relative < 0.1, {R::room_noise, R::competing_tone});
}

Scene radio(Draw& d) {
  Start s = heard(d, 10.0, 15.0);
  const double relative = d.log_between(0.1, 4.0);
  s.scene.coming_and_going(&Scene::music, s.amplitude * relative);
  return judged(s.scene, relative < 0.3, {R::room_noise, R::competing_tone});
}

Scene music_through(Draw& d) {
  Start s = heard(d, 10.0, 15.0);
  const double relative = d.log_between(0.05, 3.0);
  s.scene.music(s.amplitude * relative, 0.0, s.scene.seconds());
  return judged(s.scene, relative < 0.1, {R::room_noise, R::competing_tone});
}

Scene second_tone(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double hz = s.scene.set_hz + d.log_between(1.0, 700.0) * d.sign();
  const double relative = d.log_between(0.01, 0.9);
  s.scene.steady_tone(hz, s.amplitude * relative);
  std::vector<Reason> reasons = {R::competing_tone};
  for (const double mains : {50.0, 60.0})
    if (std::abs(hz / mains - std::round(hz / mains)) * mains < 0.0004 * hz) reasons.push_back(R::mains_hum);
  return judged(s.scene, relative < 0.03, reasons);
}

// Another steady tone as strong as the tape's, which wows much, little, or not at all.
Scene alike_tones(Draw& d) {
  Start s = start(d, d.between(8.0, 14.0));
  const double wow = d.pick({0.0, d.log_between(0.01, 0.05), d.log_between(0.05, 0.3)});
  if (wow > 0.0) add_portable_wow(s.tape, wow, s.scene.seconds(), d.random);
  s.scene.tape(s.tape).noise(d.between(52.0, 70.0), s.amplitude);
  const double hz = s.scene.set_hz + d.pick({d.between(6.0, 40.0), d.log_between(40.0, 500.0)}) * d.sign();
  s.scene.steady_tone(hz, s.amplitude * d.log_between(0.25, 4.0));
  return s.scene.may_withhold({R::competing_tone}).always_named();
}

Scene bird(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double relative = d.log_between(0.05, 2.0);
  s.scene.bird(s.amplitude * relative);
  return judged(s.scene, relative < 0.2, {R::competing_tone, R::room_noise});
}

Scene beeps(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double relative = d.log_between(0.05, 1.5);
  // Buzzers of 2 to 4 kHz (common practice).
  s.scene.beeps(d.pick({2048.0, 2730.0, 3100.0, 4000.0, d.between(2300.0, 3700.0)}), s.amplitude * relative);
  return judged(s.scene, relative < 0.2, {R::competing_tone, R::room_noise});
}

Scene whistled_over(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double amplitude = s.amplitude * d.log_between(0.1, 1.5);
  for (double t = d.between(0.5, 2.0); t < s.scene.seconds(); t += d.between(1.0, 4.0))
    s.scene.glide(s.scene.set_hz * d.between(0.7, 1.3), s.scene.set_hz * d.between(0.7, 1.3), amplitude, t,
                  t + d.between(0.3, 1.5));
  return s.scene.may_withhold({R::competing_tone, R::room_noise});
}

// A supply or a display whose whine wanders about the tone and across it.
Scene wandering_tone(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  const double relative = d.log_between(0.01, 0.6);
  s.scene.wandering_tone(s.scene.set_hz + d.between(-30.0, 30.0), d.log_between(1.0, 50.0), s.amplitude * relative);
  return judged(s.scene, relative < 0.03, {R::competing_tone, R::room_noise});
}

Scene taps(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  s.scene.taps(std::min(0.6, s.amplitude * d.log_between(0.5, 20.0)));
  return judged(s.scene, true, {R::room_noise, R::competing_tone, R::tape_dropout});
}

Scene rumble(Draw& d) {
  Start s = heard(d, 8.0, 12.0);
  return s.scene.rumble(std::min(0.25, s.amplitude * d.log_between(1.0, 30.0))).must_measure();
}

// A wall or the table: one or two reflections.
Scene echo(Draw& d) {
  Start s = worn(d, d.between(8.0, 12.0));
  s.scene.tape(s.tape);
  for (int i = d.whole(1, 2); i > 0; --i) s.scene.echo(d.log_between(0.001, 0.08), d.between(0.1, 0.8) * d.sign());
  s.scene.noise(d.between(52.0, 70.0), s.amplitude);
  return judged(s.scene, true, {R::room_noise, R::competing_tone});
}

Scene in_room(Draw& d, double nearest_db, double farthest_db) {
  Start s = worn(d, d.between(8.0, 15.0));
  const double direct_db = d.between(farthest_db, nearest_db);
  s.scene.tape(s.tape).room(d.log_between(0.2, 1.2), direct_db, d.between(0.4, 0.9));
  s.scene.pink_noise(s.amplitude * d.log_between(0.005, 0.1));
  return judged(s.scene, direct_db > 3.0, {R::room_noise, R::competing_tone});
}
Scene room(Draw& d) { return in_room(d, 12.0, 0.0); }
Scene far_in_room(Draw& d) { return in_room(d, 0.0, -9.0); }

}  // namespace

std::vector<SceneClass> surroundings_classes() {
  return {{"hum", hum},
          {"hum on tone", hum_on_tone},
          {"fan", fan},
          {"kettle", kettle},
          {"television", television},
          {"speech through", speech_through},
          {"radio", radio},
          {"music through", music_through},
          {"second tone", second_tone},
          {"alike tones", alike_tones},
          {"bird", bird},
          {"beeps", beeps},
          {"whistled over", whistled_over},
          {"wandering tone", wandering_tone},
          {"taps", taps},
          {"rumble", rumble},
          {"echo", echo},
          {"room", room},
          {"far in room", far_in_room}};
}

}  // namespace four76::scenes
