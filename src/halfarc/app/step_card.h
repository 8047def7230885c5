// StepCard: the card for the hand. From the documents of tonight's checks, in the order in which the clips were made,
// it says for each step of the night what was read last, what to do about it, and how the reading went.
#pragma once

#include <span>
#include <string>

#include "halfarc/app/clip_shelf.h"

namespace halfarc {

struct CheckedEntry {
  ShelvedClip clip;
  std::string document;  // halfarc.check/1; empty when it was not checked yet
  std::string image;     // id of an image that was made from it; may be empty
};

// {id, name, path, mid_utc, kind, target, words, frames, checked, image} as docs/contracts/http.md has it.
std::string recording_json(const CheckedEntry& entry);

// {"night": date, "steps": [...]}: the eight steps, always all of them. `entries` oldest first, those of one night.
// Documents that hold nothing for a step leave it as it is.
std::string step_card_json(const std::string& night, std::span<const CheckedEntry> entries);

// The list of advice of one document, [] when it has none.
std::string advice_json(const std::string& document);

}  // namespace halfarc
