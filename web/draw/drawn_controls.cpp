#include "web/draw/drawn_controls.hpp"

#include <array>
#include <cmath>

#include "core/signal/sort_few.hpp"
#include "web/doors/json.hpp"

namespace four76 {
namespace {

constexpr std::array<std::string_view, 4> kKinds = {"button", "off", "on", "slider"};

// Views stand in the order of their drawing. Within one, rows go from top to bottom; what has its middle at the same
// height is a row, whatever its own height.
bool comes_before(const DrawnControl* a, const DrawnControl* b) {
  if (a->part != b->part) return a->part < b->part;
  const float y_a = std::round(a->area.y + 0.5F * a->area.h), y_b = std::round(b->area.y + 0.5F * b->area.h);
  return y_a != y_b ? y_a < y_b : a->area.x < b->area.x;
}

}  // namespace

void DrawnControls::begin() {
  count_ = 0;
  part_ = 0;
}

void DrawnControls::begin_part() { ++part_; }

bool DrawnControls::add(std::string_view id, Rect area, std::string_view name, DrawnControl::Kind kind) {
  if (count_ == controls_.size()) controls_.emplace_back();
  DrawnControl& kept = controls_[count_++];
  if (kept.id != id || kept.name != name || kept.kind != kind || !(kept.area == area) || kept.part != part_) {
    kept = {std::string(id), std::string(name), kind, area, part_};
    changed_ = true;
  }
  if (pressed_ != id) return false;
  pressed_.clear();
  return true;
}

void DrawnControls::needs(float height) {
  changed_ = changed_ || height != height_;
  height_ = height;
}

void DrawnControls::end() {
  pressed_.clear();  // what is not drawn any more cannot be pressed
  if (count_ == controls_.size()) return;
  controls_.resize(count_);
  changed_ = true;
}

std::optional<std::string> DrawnControls::news(double now_s) {
  if (!changed_ || now_s - told_s_ < kEveryS) return std::nullopt;
  changed_ = false;
  told_s_ = now_s;
  std::vector<const DrawnControl*> seen;
  for (const DrawnControl& control : controls_) seen.push_back(&control);
  sort_few(seen.begin(), seen.end(), comes_before);
  JsonWriter json;
  json.open('{').key("height").value(std::optional<double>(height_)).key("controls").open('[');
  for (const DrawnControl* control : seen) {
    json.open('[').value(control->id).value(control->name).value(kKinds[static_cast<std::size_t>(control->kind)]);
    for (const float side : {control->area.x, control->area.y, control->area.w, control->area.h})
      json.value(std::optional<double>(side));
    json.close(']');
  }
  json.close(']').close('}');
  return json.take();
}

}  // namespace four76
