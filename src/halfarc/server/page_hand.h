// PageHand: the owner's hand in a rehearsal that is played for the pages.
#pragma once

#include <filesystem>

#include "halfarc/app/logged_turns.h"

namespace halfarc::server {

// Waits until the clip was read, and then, when its advice asks for a turn, for what the page notes in the logbook of
// `home`. A clip whose advice is to leave all alone lets the night go on at once, as does one that cannot be read.
// Errors, when asked: those of turns_of_logbook.
TurnSource page_hand(const std::filesystem::path& home, const Patience& patience, Pause pause);

}  // namespace halfarc::server
