// Twelve hours of simulated listening with every fault in turn: four76_endurance [HOURS] [SEED]. Takes some minutes;
// prints a table, and ends with 1 where something was not as it should be.
#include <malloc.h>

#include <cstdio>
#include <cstdlib>

#include "tests/endurance/ordeal.hpp"

int main(int count, char** words) {
  four76::test::OrdealConfig config;
  if (count > 1) config.seconds = 3600.0 * std::atof(words[1]);
  if (count > 2) config.seed = std::strtoull(words[2], nullptr, 10);
  const auto figures = four76::test::go_through(config);

  std::printf("%.2f hours of tape in %d rounds, %ld good readings, %d visits kept\n\n", figures.seconds / 3600.0,
              figures.rounds, figures.good_readings, figures.visits);
  std::printf("%-28s %6s  %s\n", "fault", "times", "good reading again within");
  for (const auto& fault : figures.faults)
    std::printf("%-28s %6d  %5.2f s\n", std::string(fault.name).c_str(), fault.times, fault.slowest_s);
  std::printf("\na good reading was a wrong one for %.2f s at most\n", figures.longest_wrong_s);
  std::printf("memory held after the second round %zu bytes, at most after a later one %zu\n", figures.held_bytes,
              figures.most_held_bytes);
  for (const auto& complaint : figures.complaints) std::printf("WRONG %s\n", complaint.c_str());
  std::printf("%zu complaints\n", figures.complaint_count);
  constexpr std::size_t kTexts_bytes = 2048;  // texts differ in length by what they say
  return figures.complaint_count == 0 && figures.most_held_bytes <= figures.held_bytes + kTexts_bytes ? 0 : 1;
}
