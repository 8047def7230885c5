// Result<T>: a value, or an Error that says what went wrong, where, and what to do about it.
//
// Every function that the world can make fail (files, typed values, dates, a full disk) returns a Result.
// Exceptions are for bugs only; asking for the value of a failed Result is one. The member names are those of
// std::expected, so a later move to it is a typedef. HALFARC_TRY unwraps inside a function that itself returns a
// Result:
//     HALFARC_TRY(const auto recording, open_recording(path));
#pragma once

#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>

namespace halfarc {

// What kind of failure; fixes the exit code of the command line (docs/conventions.md).
enum class ErrorKind {
  failed,     // could not finish: disk full, no such device
  usage,      // wrong command line
  bad_input,  // a file, value or date that cannot be used
  refused,    // refused for safety
  cancelled,  // the owner asked to stop
};

struct Error {
  ErrorKind kind = ErrorKind::failed;
  std::string what;   // "the header says 500 frames but the file holds 312"
  std::string where;  // "night/jupiter.ser, frame 312"; may be empty
  std::string to_do;  // "record again, or use the 312 frames with --salvage"; may be empty

  // The one line shown to the owner: where, what, to do. Control characters (a newline in a file name) become spaces.
  std::string line() const;
};

int exit_code(ErrorKind kind);

inline Error bad_input(std::string what, std::string where = {}, std::string to_do = {}) {
  return {ErrorKind::bad_input, std::move(what), std::move(where), std::move(to_do)};
}
inline Error failed(std::string what, std::string where = {}, std::string to_do = {}) {
  return {ErrorKind::failed, std::move(what), std::move(where), std::move(to_do)};
}

template <class T>
class [[nodiscard]] Result {
 public:
  using value_type = T;

  Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}
  Result(Error error) : content_(std::in_place_index<1>, std::move(error)) {}

  bool has_value() const { return content_.index() == 0; }
  explicit operator bool() const { return has_value(); }

  T& value() & { return std::get<0>(content_); }
  const T& value() const& { return std::get<0>(content_); }
  T&& value() && { return std::get<0>(std::move(content_)); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }

  Error& error() & { return std::get<1>(content_); }
  const Error& error() const& { return std::get<1>(content_); }
  Error&& error() && { return std::get<1>(std::move(content_)); }

  T value_or(T other) const& { return has_value() ? value() : std::move(other); }

 private:
  std::variant<T, Error> content_;
};

template <>
class [[nodiscard]] Result<void> {
 public:
  using value_type = void;

  Result() = default;
  Result(Error error) : error_(std::move(error)) {}

  bool has_value() const { return !error_.has_value(); }
  explicit operator bool() const { return has_value(); }
  void value() const {}
  Error& error() & { return error_.value(); }
  const Error& error() const& { return error_.value(); }
  Error&& error() && { return std::move(error_).value(); }

 private:
  std::optional<Error> error_;
};

}  // namespace halfarc

#define HALFARC_TRY_JOIN_(a, b) a##b
#define HALFARC_TRY_NAME_(a, b) HALFARC_TRY_JOIN_(a, b)
#define HALFARC_TRY_AS_(name, declaration, expression)   \
  auto name = (expression);                              \
  if (!name.has_value()) return std::move(name).error(); \
  declaration = std::move(name).value()

// Declares a variable from a Result, or returns its Error from the surrounding function.
#define HALFARC_TRY(declaration, ...) \
  HALFARC_TRY_AS_(HALFARC_TRY_NAME_(halfarc_try_, __LINE__), declaration, (__VA_ARGS__))

// The same for a Result<void>.
#define HALFARC_CHECK(...)                                                     \
  do {                                                                         \
    auto halfarc_check_ = (__VA_ARGS__);                                       \
    if (!halfarc_check_.has_value()) return std::move(halfarc_check_).error(); \
  } while (false)
