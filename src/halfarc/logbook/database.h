// Database: one connection to one SQLite file, with every failure as an Error in plain words.
//
// A statement that ended without an Error, outside a Transaction, is on the disk: it survives kill -9 and a power cut
// (synchronous = FULL). Several processes may have the same file open; a writer waits for another for
// up to five seconds. A Database is used by one thread at a time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

struct sqlite3;
struct sqlite3_stmt;

namespace halfarc {

enum class Access {
  write,  // the file is made when it is not there
  read,   // works in a folder that may not be written, too
};

// One prepared statement, with its values bound, on its way through its rows.
class Statement {
 public:
  // Steps to the next row; false after the last one. Errors: those of the file.
  Result<bool> next();

  // Columns of the present row, from 0. A NULL reads as 0, or as empty.
  bool is_null(int column) const;
  std::int64_t integer(int column) const;
  double real(int column) const;
  std::string text(int column) const;
  Utc utc(int column) const { return Utc::unix_ns(integer(column)); }
  std::optional<std::int64_t> maybe_integer(int column) const;
  std::optional<double> maybe_real(int column) const;
  std::optional<Utc> maybe_utc(int column) const;

 private:
  friend class Database;
  struct Finalise {
    void operator()(sqlite3_stmt* statement) const;
  };
  Statement(sqlite3_stmt* statement, sqlite3* connection, std::string where)
      : statement_(statement), connection_(connection), where_(std::move(where)) {}

  void bind(int at, std::int64_t value);
  void bind(int at, double value);
  void bind(int at, std::string_view value);
  void bind(int at, Utc value) { bind(at, value.unix_ns()); }
  void bind(int at, std::nullopt_t);
  template <class T>
  void bind(int at, const std::optional<T>& value) {
    value ? bind(at, *value) : bind(at, std::nullopt);
  }

  std::unique_ptr<sqlite3_stmt, Finalise> statement_;
  sqlite3* connection_;
  std::string where_;
};

class Database {
 public:
  // Errors: the file or its folder cannot be opened or made; not a database; damaged.
  static Result<Database> open(const std::filesystem::path& file, Access access);

  const std::filesystem::path& file() const { return file_; }

  // Prepares `sql` and binds the values to its question marks in order: std::int64_t, double, text, Utc, or an optional
  // of these. Errors: those of the file.
  template <class... Values>
  Result<Statement> ask(std::string_view sql, const Values&... values) const {
    HALFARC_TRY(Statement statement, prepare(sql));
    int at = 0;
    (statement.bind(++at, values), ...);
    return statement;
  }

  // The same, run to its end.
  template <class... Values>
  Result<void> execute(std::string_view sql, const Values&... values) {
    HALFARC_TRY(Statement statement, ask(sql, values...));
    HALFARC_TRY([[maybe_unused]] const bool row, statement.next());
    return {};
  }

  // The first column of the only row, a whole number.
  template <class... Values>
  Result<std::int64_t> number(std::string_view sql, const Values&... values) const {
    HALFARC_TRY(Statement statement, ask(sql, values...));
    HALFARC_TRY(const bool found, statement.next());
    return found ? statement.integer(0) : std::int64_t{0};
  }

  // Several statements, separated by semicolons, without values.
  Result<void> run_script(const std::string& sql);

  std::int64_t last_id() const;  // of the row inserted last

  // From now on changes go to a log beside the file first, so that readers and a writer do not wait for each other. The
  // file remembers it. Errors: another program holds the file.
  Result<void> use_write_ahead_log();

 private:
  struct Close {
    void operator()(sqlite3* connection) const;
  };
  Database(sqlite3* connection, std::filesystem::path file) : connection_(connection), file_(std::move(file)) {}
  Result<Statement> prepare(std::string_view sql) const;
  Result<void> set_up();

  std::unique_ptr<sqlite3, Close> connection_;
  std::filesystem::path file_;
};

// All rows of a statement, each turned into a value. Errors: those of the file.
template <class Row>
auto all_rows(Result<Statement> asked, Row row) -> Result<std::vector<decltype(row(*asked))>> {
  HALFARC_TRY(Statement statement, std::move(asked));
  std::vector<decltype(row(statement))> found;
  for (;;) {
    HALFARC_TRY(const bool more, statement.next());
    if (!more) return found;
    found.push_back(row(statement));
  }
}

// Several changes that happen together or not at all. Ends without them unless committed.
class Transaction {
 public:
  // Takes the right to write at once, so that what is read inside stays true. Errors: another writer held on.
  static Result<Transaction> begin(Database& database);
  Result<void> commit();

  Transaction(Transaction&& other) noexcept : database_(std::exchange(other.database_, nullptr)) {}
  Transaction& operator=(Transaction&&) = delete;
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction();

 private:
  explicit Transaction(Database& database) : database_(&database) {}
  Database* database_;
};

}  // namespace halfarc
