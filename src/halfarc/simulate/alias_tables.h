// AliasTables: many discrete distributions kept so that a number is drawn by one look-up.
//
// Each distribution is cut into 2^k slots of equal chance, no fewer than it has values, each of which holds at most two
// values and the threshold between them: the first bits of a random number choose the slot, the rest the value. No
// search, no loop. Valid: values up to 65535, at most 2^16 of them. Accuracy: probabilities to 2^-(32 - k). Source:
// [Walker1977].
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace halfarc {

class AliasTables {
 public:
  AliasTables() = default;
  // Of the distributions in which `first + i` has probability [table][i]. Valid: not negative, with sums of 1.
  explicit AliasTables(const std::vector<std::vector<double>>& probabilities, std::uint32_t first = 0);

  // A number from a table, for 32 random bits. Inline, for it is called for every sample of every frame.
  std::uint32_t draw(std::uint32_t table, std::uint32_t bits) const {
    const Slot slot = slots_[(table << slot_bits_) + (bits >> (32 - slot_bits_))];
    const std::uint32_t rest = bits & (0xffffffffU >> slot_bits_);
    // Without a branch, which nobody could foresee.
    const std::uint32_t take_other = 0U - static_cast<std::uint32_t>(rest >= slot.threshold);
    return slot.own ^ ((slot.own ^ slot.other) & take_other);
  }

 private:
  struct Slot {
    std::uint32_t threshold = 0;  // of the bits below the slot's: from here on the other value
    std::uint16_t own = 0;
    std::uint16_t other = 0;
  };
  void add(std::vector<double> share, std::uint32_t first);

  std::uint32_t slot_bits_ = 1;  // a table has 2^slot_bits_ slots
  std::vector<Slot> slots_;
};

}  // namespace halfarc
