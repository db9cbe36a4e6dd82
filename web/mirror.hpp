// mirror: what the HTML side shows, as one JSON object for browser::show.
//
// {"running": "idle|listening|demo|file",
//  "reading": {"channel": "mono|left|right", FIELDS},            of the chosen channel: the contract's <dl id="reading">
//  "channels": [{"channel": ..., FIELDS}, ...],                  every channel there is
//  "channels_agree": true | false | null,
//  "usable": {"act-listen": true, ...},                          which buttons can be pressed
//  "controls": {"tone": "3000", "tolerance": "0.5", "unit": "percent", "device": ID, "channel": "0", "trim": "1.80"},
//  "devices": [{"id": ..., "label": ...}],
//  "message": {"kind": "error|warning|info", "text": ..., "way_on": ..., "act": "act-listen" | null},   or null
//  "capture": ["What the browser says of processing, rate and channels", ...],
//  "progress": 0.4 | null,                                       of a file
//  "spoken": "what a screen reader says now"}
//
// FIELDS, as in `four76 measure --json`: status, frequency_hz, speed_error_percent, u95_percent, level_dbfs,
// carrier_to_noise_dbhz (null where not measured), reasons (array of names); and "text": {FIELD: words} beside them.
#pragma once

#include <string>

namespace four76 {

struct Model;

std::string mirror_json(const Model& model);

}  // namespace four76
