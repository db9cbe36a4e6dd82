#include "tests/endurance/page_double.hpp"

#include <algorithm>
#include <variant>

#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

browser::SampleSink sample_sink = nullptr;
void* sample_context = nullptr;

}  // namespace

// The one call of web/platform/browser that the AudioInput makes.
void browser::set_sample_sink(SampleSink sink, void* context) {
  sample_sink = sink;
  sample_context = context;
}

namespace test {
namespace {

constexpr double kMirrorEvery_s = 0.15;  // as in web/main

}  // namespace

struct PageDouble::CarryOut {
  PageDouble& page;

  void operator()(const effect::StartCapture&) const { page.wants_capture_ = true; }
  void operator()(const effect::StopCapture&) const { page.wants_capture_ = false; }
  void operator()(const effect::Store& e) const { page.device_.settings[std::string(e.key)] = e.value; }
  void operator()(const effect::KeepVisit& e) const { page.device_.visits.push_back(e.json); }
  void operator()(const effect::TakeUpdate&) const { ++page.updates_taken_; }
  void operator()(const effect::OpenSession& e) const {
    page.audio_.open_session(e.config);
    page.pictures_ = {};
    page.seen_dial_count_ = 0;
  }
  void operator()(const effect::CloseSession&) const { page.audio_.close_session(); }
  template <class Other>  // files, songs, dialogs: not in these hours
  void operator()(const Other&) const {}
};

PageDouble::PageDouble(Device& device) : device_(device) {
  restore_settings(model_, [&](std::string_view key) -> std::optional<std::string> {
    const auto kept = device_.settings.find(key);
    return kept == device_.settings.end() ? std::nullopt : std::optional(kept->second);
  });
}

void PageDouble::carry_out(const Effects& effects) {
  for (const Effect& effect : effects) std::visit(CarryOut{*this}, effect);
}

void PageDouble::press(std::string_view act) { happens(browser::ButtonPressed{std::string(act)}); }
void PageDouble::change(std::string_view name, std::string_view value) {
  happens(browser::ControlChanged{std::string(name), std::string(value)});
}
void PageDouble::happens(const browser::Event& event) { carry_out(update(model_, event)); }

void PageDouble::hears(std::span<const float> interleaved, int channels) {
  sample_sink(sample_context, interleaved, channels);
}

void PageDouble::take_reading(double now_s) {
  ToneSession* const session = audio_.session();
  if (!session || session->dial_count() == seen_dial_count_) return;
  seen_dial_count_ = session->dial_count();
  refresh(*session, Stretch::newest, pictures_);
  take_snapshot(*session, wants_whole(model_), pictures_, spare_);
  spare_.heard_at_s = now_s;
  if (audio_.one_on_two_channels()) spare_.channels_identical = true;
  carry_out(accept_snapshot(model_, spare_));
}

void PageDouble::frame(double told_s) {
  const double now_s = clock_.tell(told_s);
  const bool stalled = watch_.stalled(model_.phase == Phase::listening, audio_.frames_heard(), now_s);
  if (stalled != model_.interrupted.stalled) carry_out(update(model_, Intent(intent::InputStalled{stalled})));
  take_reading(now_s);
  if (now_s - told_page_s_ < kMirrorEvery_s) return;
  static_cast<void>(mirror_json(model_));
  told_page_s_ = now_s;
}

bool PageDouble::says(std::string_view words) const {
  const auto all = words::messages(model_);
  return std::any_of(all.begin(), all.end(),
                     [&](const words::Message& each) { return each.text.find(words) != std::string::npos; });
}

}  // namespace test
}  // namespace four76
