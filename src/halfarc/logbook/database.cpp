#include "halfarc/logbook/database.h"

#include <sqlite3.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr int kBusyMilliseconds = 5000;
constexpr int kSwitchMilliseconds = 20;

// What went wrong with the file, and what helps.
Error error_of(int code, const char* message, const std::string& where) {
  switch (code & 0xff) {
    case SQLITE_NOTADB:
      return bad_input("is not a logbook", where, "move the file away; halfarc then begins a new one");
    case SQLITE_CORRUPT:
      return bad_input("is damaged", where,
                       "move it away and put a copy in its place; without one halfarc begins a new logbook");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return failed("another program keeps the logbook busy", where, "wait a moment and try again");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return failed("may not be written", where, "allow writing to the file and its folder, or set HALFARC_HOME");
    case SQLITE_CANTOPEN:
      return failed("cannot be opened", where, "see that the folder is there and may be written, or set HALFARC_HOME");
    case SQLITE_FULL:
      return failed("the disk is full", where, "free some space and try again");
    case SQLITE_IOERR:
      return failed("cannot be read or written", where, "see to the disk, then try again");
    default:
      return failed(std::string("the logbook failed: ") + message, where);
  }
}

Error error_of(sqlite3* connection, const std::string& where) {
  return error_of(sqlite3_extended_errcode(connection), sqlite3_errmsg(connection), where);
}

// A path as the URI that SQLite takes, with whatever is special in it escaped.
std::string uri_of(const fs::path& file, std::string_view options) {
  constexpr std::string_view plain = "/-_.~";
  constexpr std::string_view hex = "0123456789abcdef";
  std::string uri = "file:";
  for (const char c : fs::absolute(file).string()) {
    const auto byte = static_cast<unsigned char>(c);
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (letter || plain.find(c) != std::string_view::npos) {
      uri += c;
    } else {
      uri += {'%', hex[byte >> 4U], hex[byte & 15U]};
    }
  }
  return uri.append("?").append(options);
}

// SQLite keeps its index of the write-ahead log in a file of its own, even to read. Where none can be made, and no log
// waits to be read, the file itself is all there is.
bool must_read_as_it_is(const fs::path& file) {
  std::error_code ignored;
  const fs::path log = file.string() + "-wal";
  const bool log_waits = fs::exists(log, ignored) && fs::file_size(log, ignored) > 0;
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  return !log_waits && ::access(folder.c_str(), W_OK) != 0;
}

Result<void> check_file(const fs::path& file, Access access) {
  std::error_code problem;
  const fs::file_status status = fs::status(file, problem);
  if (fs::is_directory(status)) return bad_input("is a folder, not a logbook", file.string(), "move it away");
  if (fs::exists(status) && !fs::is_regular_file(status))
    return bad_input("is no regular file", file.string(), "move it away");
  if (access == Access::read && !fs::exists(status))
    return bad_input("there is no logbook yet", file.string(), "check a clip, or write a note, and it begins");
  return {};
}

}  // namespace

// Statement -----------------------------------------------------------------------------------------------------------

void Statement::Finalise::operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }

Result<bool> Statement::next() {
  const int code = sqlite3_step(statement_.get());
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) return false;
  return error_of(connection_, where_);
}

bool Statement::is_null(int column) const { return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL; }
std::int64_t Statement::integer(int column) const { return sqlite3_column_int64(statement_.get(), column); }
double Statement::real(int column) const { return sqlite3_column_double(statement_.get(), column); }

std::string Statement::text(int column) const {
  const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_.get(), column));
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
  return bytes == nullptr ? std::string() : std::string(bytes, size);
}

std::optional<std::int64_t> Statement::maybe_integer(int column) const {
  return is_null(column) ? std::nullopt : std::optional(integer(column));
}
std::optional<double> Statement::maybe_real(int column) const {
  return is_null(column) ? std::nullopt : std::optional(real(column));
}
std::optional<Utc> Statement::maybe_utc(int column) const {
  return is_null(column) ? std::nullopt : std::optional(utc(column));
}

void Statement::bind(int at, std::int64_t value) { sqlite3_bind_int64(statement_.get(), at, value); }
void Statement::bind(int at, double value) { sqlite3_bind_double(statement_.get(), at, value); }
void Statement::bind(int at, std::nullopt_t) { sqlite3_bind_null(statement_.get(), at); }
void Statement::bind(int at, std::string_view value) {
  sqlite3_bind_text(statement_.get(), at, value.data(), static_cast<int>(value.size()), SQLITE_TRANSIENT);
}

// Database ------------------------------------------------------------------------------------------------------------

void Database::Close::operator()(sqlite3* connection) const { sqlite3_close_v2(connection); }

Result<Database> Database::open(const fs::path& file, Access access) {
  HALFARC_CHECK(check_file(file, access));
  const bool as_it_is = access == Access::read && must_read_as_it_is(file);
  const std::string uri = uri_of(file, as_it_is ? "immutable=1" : access == Access::read ? "mode=rw" : "mode=rwc");
  const int flags = SQLITE_OPEN_URI | (as_it_is                  ? SQLITE_OPEN_READONLY
                                       : access == Access::write ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE
                                                                 : SQLITE_OPEN_READWRITE);
  sqlite3* connection = nullptr;
  const int code = sqlite3_open_v2(uri.c_str(), &connection, flags, nullptr);
  Database database(connection, file);
  if (code != SQLITE_OK) return error_of(code, sqlite3_errstr(code), file.string());
  HALFARC_CHECK(database.set_up());
  return database;
}

Result<void> Database::set_up() {
  sqlite3_busy_timeout(connection_.get(), kBusyMilliseconds);
  sqlite3_extended_result_codes(connection_.get(), 1);
  return run_script("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
}

// The switch needs the file for itself, and SQLite does not wait for that as it does for other locks.
Result<void> Database::use_write_ahead_log() {
  for (int waited = 0;; waited += kSwitchMilliseconds) {
    auto switched = run_script("PRAGMA journal_mode = WAL");
    const bool busy = !switched && (sqlite3_errcode(connection_.get()) & 0xff) == SQLITE_BUSY;
    if (!busy || waited > kBusyMilliseconds) return switched;
    sqlite3_sleep(kSwitchMilliseconds);
  }
}

Result<Statement> Database::prepare(std::string_view sql) const {
  sqlite3_stmt* statement = nullptr;
  const int size = static_cast<int>(sql.size());
  if (sqlite3_prepare_v2(connection_.get(), sql.data(), size, &statement, nullptr) != SQLITE_OK)
    return error_of(connection_.get(), file_.string());
  return Statement(statement, connection_.get(), file_.string());
}

Result<void> Database::run_script(const std::string& sql) {
  if (sqlite3_exec(connection_.get(), sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK) return {};
  return error_of(connection_.get(), file_.string());
}

std::int64_t Database::last_id() const { return sqlite3_last_insert_rowid(connection_.get()); }

// Transaction ---------------------------------------------------------------------------------------------------------

Result<Transaction> Transaction::begin(Database& database) {
  HALFARC_CHECK(database.run_script("BEGIN IMMEDIATE"));
  return Transaction(database);
}

Result<void> Transaction::commit() {
  HALFARC_CHECK(database_->run_script("COMMIT"));
  database_ = nullptr;
  return {};
}

Transaction::~Transaction() {
  // SQLite may have rolled back by itself after a failure; then this says so, and nothing is lost.
  if (database_ != nullptr) static_cast<void>(database_->run_script("ROLLBACK").has_value());
}

}  // namespace halfarc
