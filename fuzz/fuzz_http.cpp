// Fuzzes the server with what arrives on a socket: header, guard, routes and bodies, in a home folder of its own.
//
// "@HOST@" in an input stands for the address that the server has, without which the guard lets nothing in. An answer
// of status 500 counts as a crash: a request that nobody should send is refused, and breaks nothing. The rehearsal is
// left out, for it would keep the machine busy for minutes.
#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>

#include "halfarc/server/serving.h"

namespace {

namespace fs = std::filesystem;
using halfarc::server::Serving;

struct Home {
  Home() {
    std::string pattern = (fs::temp_directory_path() / "halfarc-fuzz-XXXXXX").string();
    folder = mkdtemp(pattern.data());
    halfarc::server::ServeOptions options;
    options.home = folder;
    options.port = 0;
    options.version = "fuzz";
    options.threads.count = 1;
    auto begun = Serving::begin(options);
    if (!begun) std::abort();
    serving = std::move(*begun);
    const std::string address = serving->address();  // http://127.0.0.1:PORT/
    host = address.substr(7, address.size() - 8);
    port = static_cast<std::uint16_t>(std::stoi(host.substr(host.find(':') + 1)));
  }
  ~Home() {
    serving.reset();
    std::error_code ignored;
    fs::remove_all(folder, ignored);
  }
  Home(const Home&) = delete;
  Home& operator=(const Home&) = delete;

  fs::path folder;
  std::unique_ptr<Serving> serving;
  std::string host;
  std::uint16_t port = 0;
};

std::string asked(const Home& home, const std::string& request) {
  const int line = socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(home.port);
  to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  const timeval patience{2, 0};
  setsockopt(line, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
  std::string answer;
  if (connect(line, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0) {
    (void)send(line, request.data(), request.size(), MSG_NOSIGNAL);
    shutdown(line, SHUT_WR);
    std::array<char, 4096> buffer{};
    while (answer.size() < (1U << 20) && answer.find("text/event-stream") == std::string::npos) {
      const auto got = recv(line, buffer.data(), buffer.size(), 0);
      if (got <= 0) break;
      answer.append(buffer.data(), static_cast<std::size_t>(got));
    }
  }
  close(line);
  return answer;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const Home home;
  std::string request(reinterpret_cast<const char*>(bytes), size);
  for (std::size_t at = request.find("@HOST@"); at != std::string::npos; at = request.find("@HOST@", at))
    request.replace(at, 6, home.host);
  if (request.find("rehearse") != std::string::npos) return -1;
  const std::string answer = asked(home, request);
  if (answer.rfind("HTTP/1.1 500", 0) == 0) {
    std::fprintf(stderr, "%s\n", answer.c_str());
    std::abort();
  }
  return 0;
}
