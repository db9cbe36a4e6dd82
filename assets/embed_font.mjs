// Writes a font's bytes as a C++ source that defines one accessor of web/fonts.hpp.
// Usage: node embed_font.mjs FONT NAME OUT.cpp
import { readFileSync, writeFileSync } from "node:fs";

const [font, name, out] = process.argv.slice(2);
const bytes = readFileSync(font);
const rows = [];
for (let at = 0; at < bytes.length; at += 24) rows.push(bytes.subarray(at, at + 24).join(","));

writeFileSync(
  out,
  `// Made from ${name} by assets/embed_font.mjs.
#include "web/fonts.hpp"

namespace four76::fonts {
namespace {
// ImGui reads words of the font where they fall: keep the whole aligned.
alignas(8) constexpr std::uint8_t kBytes[] = {
${rows.join(",\n")}};
}  // namespace

std::span<const std::uint8_t> ${name.toLowerCase()}() noexcept { return kBytes; }

}  // namespace four76::fonts
`,
);
