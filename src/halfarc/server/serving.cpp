#include "halfarc/server/serving.h"

#include <fmt/format.h>

#include <utility>

#include "halfarc/server/home_lock.h"
#include "halfarc/server/lan_address.h"
#include "halfarc/server/listener.h"
#include "halfarc/server/qr_text.h"
#include "halfarc/server/request_guard.h"
#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

// The folder that is watched; one of our own is made, another's must be there.
Result<std::filesystem::path> folder_to_watch(const ServeOptions& options) {
  std::error_code problem;
  const bool own = options.watched.empty();
  const std::filesystem::path folder = own ? options.home / "recordings" : options.watched;
  if (own) std::filesystem::create_directories(folder, problem);
  const std::filesystem::path full = std::filesystem::canonical(folder, problem);
  if (problem || !std::filesystem::is_directory(full, problem))
    return bad_input("is no folder", folder.string(), "name the folder into which your camera program writes");
  return full;
}

Result<std::string> new_code(bool lan) {
  if (!lan) return std::string();
  HALFARC_TRY(const std::string bytes, random_bytes(5));
  return pairing_code(bytes);
}

}  // namespace

// In the order in which they are needed; the end is in the reverse order.
struct Serving::Inside {
  Inside(const ServeOptions& options, std::filesystem::path watched, std::string pairing_words, HomeLock taken)
      : lan(options.lan),
        code(std::move(pairing_words)),
        lock(std::move(taken)),
        events(fmt::format("{:x}", Utc::now().unix_ns())),
        pairing(code, options.home / "sessions"),
        jobs([this](const Job& job) { events.publish("job", job_json(job), job.id); }),
        served{options.home, std::move(watched), options.version, options.threads, events, jobs, pairing},
        desk(served) {
    add_page_routes(router, served);
    add_event_routes(router, served);
    add_sky_routes(router, served);
    add_file_routes(router, served);
    add_recording_routes(router, served, desk);
    add_hand_routes(router, served, desk);
    add_job_routes(router, served);
    add_image_routes(router, served);
    add_log_routes(router, served);
  }

  ListenerRules rules() {
    const auto is_paired = [this](const std::string& token) { return pairing.knows(token); };
    return {[is_paired](const WebRequest& request) { return guard(request, is_paired); },
            [this](const WebRequest& request) { return router.route(request); }};
  }

  const bool lan;
  bool rehearses = false;
  const std::string code;
  HomeLock lock;
  EventLog events;
  Pairing pairing;
  JobQueue jobs;
  Served served;
  ClipDesk desk;
  Router router;
  std::unique_ptr<Listener> listener;
};

Serving::Serving(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}

Serving::~Serving() {
  inside_->events.close();
  inside_->listener->stop();
}

Result<std::unique_ptr<Serving>> Serving::begin(const ServeOptions& options) {
  HALFARC_TRY(HomeLock lock, HomeLock::take(options.home));
  HALFARC_TRY(std::filesystem::path watched, folder_to_watch(options));
  HALFARC_TRY(std::string code, new_code(options.lan));
  auto inside = std::make_unique<Inside>(options, std::move(watched), std::move(code), std::move(lock));
  HALFARC_TRY(inside->listener, Listener::open(options.lan ? "0.0.0.0" : "127.0.0.1", options.port, inside->rules()));
  std::unique_ptr<Serving> serving(new Serving(std::move(inside)));
  serving->inside_->lock.tell(serving->address());
  serving->inside_->desk.watch();
  serving->inside_->listener->start();
  serving->inside_->rehearses = options.rehearse;
  if (options.rehearse) {
    HALFARC_TRY([[maybe_unused]] const std::string job, add_rehearsal(serving->inside_->served, NightSize::brief));
  }
  return serving;
}

std::string Serving::address() const { return fmt::format("http://127.0.0.1:{}/", inside_->listener->port()); }

Result<std::string> Serving::words() const {
  std::string text = fmt::format("halfarc serves {}\nand watches {}\n", address(), inside_->served.watched.string());
  if (inside_->rehearses)
    text += fmt::format("\nA simulated night is being recorded. Open {}#telescope and do what it says.\n", address());
  if (inside_->lan) {
    const std::string here = lan_address();
    if (here.empty()) {
      text += "No network was found for a phone; when there is one, start again.\n";
    } else {
      const std::string phone = fmt::format("http://{}:{}/", here, inside_->listener->port());
      HALFARC_TRY(const std::string qr, qr_text(phone + "#pair=" + inside_->code));
      text += fmt::format("\n{}\nOn the phone: scan this, or open {} and enter the code {}\n", qr, phone,
                          spelled_out(inside_->code));
      text += "What is sent over the network can be read by others on it: use one of your own.\n";
    }
  }
  return text + "Ctrl-C ends it.\n";
}

}  // namespace halfarc::server
