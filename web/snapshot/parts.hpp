// What the parts of the snapshot's flat form share. Within snapshot/ only.
#pragma once

#include "web/snapshot/flat_bytes.hpp"
#include "web/snapshot/snapshot.hpp"

namespace four76::flat {

// Wow and flutter: figures, picture, raw trace.
void put_flutter(Writer& out, const ChannelSnapshot& channel);
void get_flutter(Reader& in, ChannelSnapshot& channel);

}  // namespace four76::flat
