#include "halfarc/base/toml_section.h"

#include <toml++/toml.h>

#include <cmath>
#include <set>
#include <utility>

namespace halfarc {

struct TomlFile::Content {
  toml::table table;
  std::string where;
  std::string to_do;
  std::optional<Error> error;
};

struct TomlSection::Table {
  std::shared_ptr<TomlFile::Content> file;
  const toml::table* table = nullptr;  // nothing when the section is not in the file
  std::string name;
  std::set<std::string> known;

  std::string full(std::string_view key) const { return (name.empty() ? "" : name + ".") + std::string(key); }

  const toml::node* find(std::string_view key) {
    known.insert(std::string(key));
    return table == nullptr || file->error ? nullptr : table->get(key);
  }

  void refuse(std::string_view key, const toml::node& node, std::string_view what, std::string to_do = {}) const {
    if (file->error) return;
    file->error = bad_input(full(key) + " " + std::string(what),
                            file->where + ", line " + std::to_string(node.source().begin.line),
                            to_do.empty() ? file->to_do : std::move(to_do));
  }

  TomlSection within(const toml::table* inner, std::string_view key) const {
    return TomlSection(std::make_shared<Table>(Table{file, inner, full(key), {}}));
  }
};

TomlSection::TomlSection(std::shared_ptr<Table> table) : table_(std::move(table)) {}

void TomlSection::number(std::string_view key, double& value) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  const auto v = node->is_number() ? node->value<double>() : std::nullopt;
  if (v && std::isfinite(*v)) {
    value = *v;
  } else {
    table_->refuse(key, *node, "must be a number");
  }
}

void TomlSection::number_within(std::string_view key, double lowest, double highest, double& value) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  const auto v = node->is_number() ? node->value<double>() : std::nullopt;
  if (v && *v >= lowest && *v <= highest) {
    value = *v;
  } else {
    const auto plain = [](double number) {
      std::string text = std::to_string(number);
      text.erase(text.find_last_not_of('0') + 1);
      if (text.back() == '.') text.pop_back();
      return text;
    };
    table_->refuse(key, *node, "must be a number from " + plain(lowest) + " to " + plain(highest));
  }
}

void TomlSection::whole(std::string_view key, std::int64_t lowest, std::int64_t highest, std::int64_t& value) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  const auto v = node->is_integer() ? node->value<std::int64_t>() : std::nullopt;
  if (v && *v >= lowest && *v <= highest) {
    value = *v;
  } else {
    table_->refuse(key, *node,
                   "must be a whole number from " + std::to_string(lowest) + " to " + std::to_string(highest));
  }
}

void TomlSection::flag(std::string_view key, bool& value) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  if (const auto v = node->is_boolean() ? node->value<bool>() : std::nullopt) {
    value = *v;
  } else {
    table_->refuse(key, *node, "must be true or false");
  }
}

void TomlSection::text(std::string_view key, std::string& value) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  if (const auto v = node->is_string() ? node->value<std::string>() : std::nullopt) {
    value = *v;
  } else {
    table_->refuse(key, *node, "must be text in quotes");
  }
}

void TomlSection::numbers(std::string_view key, std::span<double> values) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return;
  const toml::array* array = node->as_array();
  bool good = array != nullptr && array->size() == values.size();
  for (std::size_t i = 0; good && i < values.size(); ++i) {
    const auto v = array->get(i)->is_number() ? array->get(i)->value<double>() : std::nullopt;
    good = v && std::isfinite(*v);
    if (good) values[i] = *v;
  }
  if (!good) table_->refuse(key, *node, "must be a list of " + std::to_string(values.size()) + " numbers");
}

void TomlSection::choice(std::string_view key, std::span<const std::string_view> words, std::size_t& index) {
  std::string word(words[index]);
  text(key, word);
  std::string list;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (word == words[i]) {
      index = i;
      return;
    }
    list += (i == 0 ? "\"" : (i + 1 == words.size() ? " or \"" : ", \"")) + std::string(words[i]) + "\"";
  }
  refuse(key, "must be " + list);
}

bool TomlSection::has(std::string_view key) { return table_->find(key) != nullptr; }

void TomlSection::require(std::string_view key) {
  if (table_->find(key) == nullptr && !table_->file->error)
    table_->file->error =
        bad_input("the key " + table_->full(key) + " is missing", table_->file->where, table_->file->to_do);
}

TomlSection TomlSection::section(std::string_view key) {
  const toml::node* node = table_->find(key);
  if (node != nullptr && !node->is_table())
    table_->refuse(key, *node, "must be a section, written [" + table_->full(key) + "]");
  return table_->within(node == nullptr ? nullptr : node->as_table(), key);
}

std::optional<std::vector<TomlSection>> TomlSection::sections(std::string_view key) {
  const toml::node* node = table_->find(key);
  if (node == nullptr) return std::nullopt;
  std::vector<TomlSection> list;
  const std::string form = "sections, written [[" + table_->full(key) + "]]";
  if (!node->is_array()) table_->refuse(key, *node, "must be a list of " + form);
  for (std::size_t i = 0; node->is_array() && i < node->as_array()->size(); ++i) {
    const toml::node& entry = *node->as_array()->get(i);
    if (!entry.is_table()) {
      table_->refuse(key, entry, "must hold " + form);
      break;
    }
    list.push_back(table_->within(entry.as_table(), key));
  }
  return list;
}

void TomlSection::refuse(std::string_view key, std::string_view what) {
  const toml::node* node = table_->table == nullptr ? nullptr : table_->table->get(key);
  if (node != nullptr) {
    table_->refuse(key, *node, what);
  } else if (!table_->file->error) {
    table_->file->error =
        bad_input(table_->full(key) + " " + std::string(what), table_->file->where, table_->file->to_do);
  }
}

void TomlSection::done() {
  if (table_->table == nullptr || table_->file->error) return;
  for (const auto& [key, node] : *table_->table) {
    if (table_->known.contains(std::string(key.str()))) continue;
    std::string list;
    for (const std::string& k : table_->known) list += (list.empty() ? "" : ", ") + k;
    table_->refuse(key.str(), node, "is not a key halfarc knows", "the keys here are " + list);
    return;
  }
}

TomlFile::TomlFile(std::shared_ptr<Content> content) : content_(std::move(content)) {}

Result<TomlFile> TomlFile::parse(std::string_view text, std::string where, std::string to_do) {
  auto content = std::make_shared<Content>();
  content->where = std::move(where);
  content->to_do = std::move(to_do);
  try {  // the packaged library reports by exception; it goes no further than here
    content->table = toml::parse(text, content->where);
  } catch (const toml::parse_error& error) {
    return bad_input(std::string(error.description()),
                     content->where + ", line " + std::to_string(error.source().begin.line),
                     content->to_do.empty() ? "write it as TOML" : content->to_do);
  }
  return TomlFile(std::move(content));
}

TomlSection TomlFile::top() const {
  return TomlSection(std::make_shared<TomlSection::Table>(TomlSection::Table{content_, &content_->table, {}, {}}));
}

Result<void> TomlFile::verdict() const {
  if (content_->error) return *content_->error;
  return {};
}

}  // namespace halfarc
