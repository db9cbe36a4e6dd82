// ribbon: a strip of tape running to the left; its edges are the tolerance, its centre the right speed, and the line
// written on it at the head on its right is the speed of the last half minute.
#pragma once

#include "web/draw/paper.hpp"
#include "web/draw/ribbon_scale.hpp"

namespace four76::draw {

void ribbon(const Paper& paper, Rect area, const RibbonContent& content);

}  // namespace four76::draw
