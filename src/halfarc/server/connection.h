// Connection: one accepted socket as the HTTP library reads and writes it, with limits that no slow or endless peer can
// stretch. For the sources of this module only.
//
// - The whole request has arrived 10 s after the connection was made, and is no longer than a header of 32 KiB and the
//   largest body.
// - An answer may be waited for 10 s in all, and a second more for each 64 KiB that were taken. Time in which the peer
//   keeps up does not count, so an endless answer to a listener that listens has no limit.
#pragma once

#include <httplib.h>

#include <array>
#include <chrono>
#include <cstddef>
#include <string>

namespace halfarc::server {

class Connection final : public httplib::Stream {
 public:
  explicit Connection(socket_t socket);
  ~Connection() override;  // ends politely: what was sent arrives, what was not read is dropped
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  bool is_readable() const override;
  bool is_writable() const override;  // somebody is there
  ssize_t read(char* into, std::size_t size) override;
  ssize_t write(const char* from, std::size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  socket_t socket() const override { return socket_; }

 private:
  using Clock = std::chrono::steady_clock;
  bool fill();

  socket_t socket_;
  Clock::time_point opened_ = Clock::now();
  std::array<char, 4096> buffer_{};  // the library reads a header byte by byte
  std::size_t next_ = 0, end_ = 0;
  std::size_t read_ = 0, written_ = 0;
  Clock::duration waited_{};  // for the peer to take what was written
};

}  // namespace halfarc::server
