// Samples that the device loses, adds or plays twice.
#include "tests/scenes/catalogue.hpp"

namespace four76::scenes {

namespace {

using R = Reason;
constexpr std::size_t kLongestDeleted = 20000;
constexpr double kLongestZerosS = 0.3;
// With so few the clear stretches between are seconds long.
constexpr int kFew = 4;

Start heard(Draw& d) {
  Start s = worn(d, d.between(8.0, 15.0));
  s.scene.tape(s.tape).noise(d.between(50.0, 70.0), s.amplitude);
  return s;
}

std::size_t longest_zeros(const Scene& scene) {
  return static_cast<std::size_t>(kLongestZerosS * scene.sample_rate_hz);
}

Scene judged(Scene& scene, int count) {
  scene.may_withhold({R::capture_gap});
  return count <= kFew ? scene.must_measure() : scene;
}

Scene inserted(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 12);
  return judged(s.scene.insert_zeros(count, 1, longest_zeros(s.scene)), count);
}

Scene deleted(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 12);
  return judged(s.scene.delete_samples(count, 1, kLongestDeleted), count);
}

Scene blanked(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 12);
  return judged(s.scene.blank_samples(count, 1, longest_zeros(s.scene)), count);
}

Scene repeated(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 10);
  return judged(s.scene.repeat_blocks(count, d.pick<std::size_t>({128, 441, 480, 1024, 4096})), count);
}

Scene both(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 6);
  s.scene.insert_zeros(count, 1, longest_zeros(s.scene)).delete_samples(count, 1, kLongestDeleted);
  return judged(s.scene, 2 * count);
}

// What browsers that run short insert: 441 or 1,024 exact zeros (sources.md#browsers).
Scene under_run(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 15);
  const auto length = d.pick<std::size_t>({441, 1024});
  return judged(s.scene.insert_zeros(count, length, length), count);
}

// A device that fades over what it lost, so that nothing clicks.
Scene concealed(Draw& d) {
  Start s = heard(d);
  const int count = d.whole(1, 10);
  return judged(s.scene.conceal_losses(count, 1, 4800), count);
}

// Two clocks that do not agree: a few samples are dropped at every turn of a buffer.
Scene slipping(Draw& d) {
  Start s = heard(d);
  s.scene.slip(d.log_between(0.2, 2.0), d.pick<std::size_t>({1, 2, 4, 8, 16, 33}));
  return s.scene.may_withhold({R::capture_gap});
}

// Every few hundred milliseconds, without end: a machine that cannot keep up.
Scene stuttering(Draw& d) {
  Start s = heard(d);
  const int count = static_cast<int>(s.scene.seconds() * d.between(2.0, 6.0));
  const auto length = d.pick<std::size_t>({128, 256, 1024});
  return judged(
      d.whole(0, 1) == 1 ? s.scene.delete_samples(count, length, length) : s.scene.insert_zeros(count, length, length),
      count);
}

}  // namespace

std::vector<SceneClass> gap_classes() {
  return {{"inserted zeros", inserted}, {"deleted", deleted},   {"blanked", blanked},
          {"repeated", repeated},       {"both gaps", both},    {"under-run", under_run},
          {"concealed", concealed},     {"slipping", slipping}, {"stuttering", stuttering}};
}

}  // namespace four76::scenes
