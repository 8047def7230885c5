// TomlSection: reading the owner's hand-written TOML files, where what is wrong must be said with its line and name.
//
// A section is one table of the file. Each reading names a key and changes the value only when the key is there, so
// that defaults stand where they are declared. The section remembers the keys that were asked for, so that `done` can
// refuse the others; the file keeps the first error, and after it reads nothing more.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/result.h"

namespace halfarc {

class TomlSection {
 public:
  void number(std::string_view key, double& value);
  void number_within(std::string_view key, double lowest, double highest, double& value);
  void whole(std::string_view key, std::int64_t lowest, std::int64_t highest, std::int64_t& value);
  void flag(std::string_view key, bool& value);
  void text(std::string_view key, std::string& value);
  void numbers(std::string_view key, std::span<double> values);

  // Text that must be one of some words: the index of the word.
  void choice(std::string_view key, std::span<const std::string_view> words, std::size_t& index);

  bool has(std::string_view key);
  void require(std::string_view key);

  // A table within, empty when the key is not there; and the tables of a list, nothing when the key is not there.
  TomlSection section(std::string_view key);
  std::optional<std::vector<TomlSection>> sections(std::string_view key);

  // Refuses the value of a key for a reason of the caller's: "must be ...".
  void refuse(std::string_view key, std::string_view what);

  // After all keys have been asked for: refuses the rest.
  void done();

 private:
  friend class TomlFile;
  struct Table;
  explicit TomlSection(std::shared_ptr<Table> table);
  std::shared_ptr<Table> table_;
};

class TomlFile {
 public:
  // `where` names the file; `to_do` ends every complaint that has no better advice, and may be empty.
  // Errors: not TOML (bad input, with the line).
  static Result<TomlFile> parse(std::string_view text, std::string where, std::string to_do = {});

  TomlSection top() const;

  // The first complaint of any section.
  Result<void> verdict() const;

 private:
  struct Content;
  explicit TomlFile(std::shared_ptr<Content> content);
  friend struct TomlSection::Table;
  std::shared_ptr<Content> content_;
};

}  // namespace halfarc
