// The report of the accuracy suite: the same tables for the eye and for docs/accuracy.md.
#pragma once

#include <string>
#include <vector>

#include "ladder.h"

namespace halfarc::accuracy {

// The heading of a ladder's table, in Markdown.
std::string table_head(const Ladder& ladder);

// One row of it.
std::string table_row(const Ladder& ladder, const Rung& rung, const RungOutcome& outcome);

// What stands above all tables: how to read and how to repeat them.
std::string report_head(const std::string& command);

}  // namespace halfarc::accuracy
