// MarkdownTable: the same figures that a benchmark prints, as the proof page shows them.
#pragma once

#include <string>
#include <vector>

namespace four76::bench {

class MarkdownTable {
 public:
  // The first column is flushed left, the others, being figures, right.
  explicit MarkdownTable(const std::vector<std::string>& heads) {
    row(heads);
    text_ += "| --- |";
    for (std::size_t i = 1; i < heads.size(); ++i) text_ += " ---: |";
    text_ += '\n';
  }
  void row(const std::vector<std::string>& cells) {
    text_ += '|';
    for (const std::string& cell : cells) text_.append(1, ' ').append(cell).append(" |");
    text_ += '\n';
  }
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  std::string text_;
};

}  // namespace four76::bench
