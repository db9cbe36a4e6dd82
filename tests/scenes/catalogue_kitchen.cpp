// The kitchen: two to four troubles at once, in the order of the signal's way. Nastier than reality.
#include <algorithm>

#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;

struct Trouble {
  void (*add)(Draw&, Start&);
  std::vector<Reason> reasons;
};

// In the order of the signal's way: tape, surroundings, device.
const std::vector<Trouble>& troubles() {
  static const std::vector<Trouble> all = {
      {[](Draw& d, Start& s) { s.scene.dropouts(d.between(0.3, 3.0), 0.2, 30.0); }, {R::tape_dropout}},
      {[](Draw& d, Start& s) { s.scene.room(d.between(0.2, 0.6), d.between(-3.0, 9.0), 0.6); },
       {R::room_noise, R::competing_tone}},
      {[](Draw& d, Start& s) { s.scene.hum(50.0, s.amplitude * d.log_between(0.3, 5.0), 1.0, 80); }, {R::mains_hum}},
      {[](Draw& d, Start& s) { s.scene.fan(s.amplitude * d.log_between(0.1, 1.0), d.between(800.0, 4000.0)); },
       {R::room_noise, R::competing_tone}},
      {[](Draw& d, Start& s) { s.scene.coming_and_going(&Scene::speech, s.amplitude * d.log_between(0.2, 2.0)); },
       {R::room_noise, R::competing_tone}},
      {[](Draw& d, Start& s) { s.scene.coming_and_going(&Scene::music, s.amplitude * d.log_between(0.2, 2.0)); },
       {R::room_noise, R::competing_tone}},
      {[](Draw& d, Start& s) { s.scene.beeps(d.between(2300.0, 3700.0), s.amplitude * d.log_between(0.05, 0.7)); },
       {R::competing_tone, R::room_noise}},
      {[](Draw& d, Start& s) {
         s.scene.gain_control({d.between(0.05, 0.2), 0.02, d.log_between(0.2, 3.0), 30.0});
       },
       {R::voice_processing, R::clipping}},
      {[](Draw& d, Start& s) { s.scene.spectral_suppressor(d.log_between(1.0, 8.0), d.between(10.0, 25.0)); },
       {R::voice_processing, R::room_noise, R::too_quiet}},
      {[](Draw& d, Start& s) {
         s.scene.limit({s.amplitude * d.between(0.4, 1.5), 0.3, 0.1}, 1.0);
       },
       {R::clipping}},
      {[](Draw& d, Start& s) { s.scene.delete_samples(d.whole(1, 6), 1, 20000); }, {R::capture_gap}},
      {[](Draw& d, Start& s) { s.scene.insert_zeros(d.whole(1, 6), 1, 4800); }, {R::capture_gap}}};
  return all;
}

Scene at_once(Draw& d, std::size_t count) {
  std::vector<std::size_t> chosen(troubles().size());
  for (std::size_t i = 0; i < chosen.size(); ++i) chosen[i] = i;
  std::shuffle(chosen.begin(), chosen.end(), d.random);
  chosen.resize(count);
  std::sort(chosen.begin(), chosen.end());

  Start s = worn(d, d.between(10.0, 15.0));
  s.scene.tape(s.tape).noise(d.between(52.0, 68.0), s.amplitude);
  std::vector<Reason> reasons;
  for (const std::size_t i : chosen) {
    const Trouble& trouble = troubles()[i];
    trouble.add(d, s);
    for (const Reason reason : trouble.reasons)
      if (std::find(reasons.begin(), reasons.end(), reason) == reasons.end()) reasons.push_back(reason);
  }
  return s.scene.quantize(16).may_withhold(reasons);
}

Scene two(Draw& d) { return at_once(d, 2); }
Scene three(Draw& d) { return at_once(d, 3); }
Scene four(Draw& d) { return at_once(d, 4); }

}  // namespace

std::vector<SceneClass> kitchen_classes() {
  return {{"kitchen of two", two}, {"kitchen of three", three}, {"kitchen of four", four}};
}

}  // namespace four76::scenes
