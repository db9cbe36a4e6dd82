// How often each way of reading a tone is right, says nothing, or is wrong without saying so.
#pragma once

#include <string>
#include <vector>

namespace four76::bench {

struct PeerShare {
  std::string name;
  int scenes = 0, given = 0, silent_wrong = 0;
};

std::string peers_picture(const std::vector<PeerShare>& shares);

}  // namespace four76::bench
