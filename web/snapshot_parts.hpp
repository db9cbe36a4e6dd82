// What the parts of the snapshot's flat form share. Within snapshot*.cpp only.
#pragma once

#include "web/flat_bytes.hpp"
#include "web/snapshot.hpp"

namespace four76::flat {

// Wow and flutter: figures, picture, raw trace.
void put_flutter(Writer& out, const ChannelSnapshot& channel);
void get_flutter(Reader& in, ChannelSnapshot& channel);

}  // namespace four76::flat
