#include "halfarc/server/connection.h"

#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "halfarc/server/request_guard.h"

namespace halfarc::server {
namespace {

using Millis = std::chrono::milliseconds;

constexpr std::size_t kMostRequest = (std::size_t{32} << 10) + kMostBody;  // bytes
constexpr Millis kRequestTime{10'000};
constexpr Millis kAnswerTime{10'000};
constexpr std::size_t kSlowest = std::size_t{64} << 10;  // bytes a second
constexpr Millis kGoodbye{1'000};
constexpr std::size_t kMostDropped = std::size_t{8} << 20;  // bytes

bool wait_for(socket_t socket, short what, std::chrono::steady_clock::duration time) {
  const auto ms = std::chrono::duration_cast<Millis>(time).count();
  pollfd one{socket, what, 0};
  return ms > 0 && poll(&one, 1, static_cast<int>(ms)) > 0;
}

using NameOf = int (*)(int, sockaddr*, socklen_t*);

void address_of(socket_t socket, NameOf name_of, std::string& ip, int& port) {
  sockaddr_storage address{};
  socklen_t length = sizeof address;
  std::array<char, NI_MAXHOST> host{};
  std::array<char, NI_MAXSERV> service{};
  if (name_of(socket, reinterpret_cast<sockaddr*>(&address), &length) != 0) return;
  if (getnameinfo(reinterpret_cast<const sockaddr*>(&address), length, host.data(), host.size(), service.data(),
                  service.size(), NI_NUMERICHOST | NI_NUMERICSERV) != 0)
    return;
  ip = host.data();
  port = std::atoi(service.data());
}

}  // namespace

Connection::Connection(socket_t socket) : socket_(socket) {}

Connection::~Connection() {
  // To close with bytes unread would reset the connection, and the answer with it.
  shutdown(socket_, SHUT_WR);
  const auto until = Clock::now() + kGoodbye;
  std::size_t dropped = 0;
  while (dropped < kMostDropped && wait_for(socket_, POLLIN, until - Clock::now())) {
    const ssize_t got = recv(socket_, buffer_.data(), buffer_.size(), 0);
    if (got <= 0) break;
    dropped += static_cast<std::size_t>(got);
  }
  close(socket_);
}

bool Connection::is_readable() const {
  return next_ < end_ || wait_for(socket_, POLLIN, opened_ + kRequestTime - Clock::now());
}

bool Connection::is_writable() const {
  pollfd one{socket_, POLLIN, 0};
  if (poll(&one, 1, 0) <= 0) return true;
  if ((one.revents & (POLLERR | POLLHUP | POLLNVAL)) != 0) return false;
  char byte = 0;
  return recv(socket_, &byte, 1, MSG_PEEK | MSG_DONTWAIT) != 0;
}

bool Connection::fill() {
  if (read_ >= kMostRequest || !wait_for(socket_, POLLIN, opened_ + kRequestTime - Clock::now())) return false;
  const ssize_t got = recv(socket_, buffer_.data(), buffer_.size(), 0);
  next_ = 0;
  end_ = got > 0 ? static_cast<std::size_t>(got) : 0;
  read_ += end_;
  return end_ > 0;
}

ssize_t Connection::read(char* into, std::size_t size) {
  if (next_ == end_ && !fill()) return -1;
  const std::size_t count = std::min(size, end_ - next_);
  std::memcpy(into, buffer_.data() + next_, count);
  next_ += count;
  return static_cast<ssize_t>(count);
}

ssize_t Connection::write(const char* from, std::size_t size) {
  for (;;) {
    const ssize_t sent = send(socket_, from, size, MSG_DONTWAIT | MSG_NOSIGNAL);
    if (sent >= 0) {
      written_ += static_cast<std::size_t>(sent);
      return sent;
    }
    if (errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR) return -1;
    const auto began = Clock::now();
    const Clock::duration allowed = kAnswerTime + std::chrono::seconds(written_ / kSlowest);
    if (!wait_for(socket_, POLLOUT, allowed - waited_)) return -1;
    waited_ += Clock::now() - began;
  }
}

void Connection::get_remote_ip_and_port(std::string& ip, int& port) const {
  address_of(socket_, getpeername, ip, port);
}
void Connection::get_local_ip_and_port(std::string& ip, int& port) const { address_of(socket_, getsockname, ip, port); }

}  // namespace halfarc::server
