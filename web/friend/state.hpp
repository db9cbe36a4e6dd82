// FriendBench: what came by a link from somebody else: a check that is asked of this page, or the result of one that
// went out. Its text is theirs and is shown as such.
#pragma once

#include <optional>

#include "core/records/check_link.hpp"

namespace four76 {

struct FriendBench {
  std::optional<CheckAsked> asked;  // of the person at this page
  bool answering = false;           // what is measured next goes back to whoever asked
  bool answered = false;            // it was measured, and its link can be made
  std::optional<CheckDone> done;    // what a friend found, not filed yet
};

}  // namespace four76
