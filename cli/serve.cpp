// halfarc serve [--watch DIR] [--port N] [--rehearse] [--lan]
#include <chrono>
#include <memory>
#include <string>
#include <thread>

#include "commands.h"
#include "halfarc/server/serving.h"
#include "here.h"

namespace halfarc::cli {
namespace {

constexpr std::chrono::milliseconds kStopLatency{50};

Result<void> serve(server::ServeOptions options, Context& context) {
  options.home = home_of_owner();
  options.version = HALFARC_VERSION;
  options.threads = context.threads;
  HALFARC_TRY(const auto serving, server::Serving::begin(options));
  HALFARC_TRY(const std::string words, serving->words());
  HALFARC_CHECK(context.print(words));
  while (!context.progress->stop_requested()) std::this_thread::sleep_for(kStopLatency);
  return {};
}

}  // namespace

void add_serve(CLI::App& app, Context& context) {
  const auto options = std::make_shared<server::ServeOptions>();
  CLI::App* command = add_command(app, context, "serve", "Serve the pages to this machine, and to your phone.",
                                  "  halfarc serve --watch ~/captures\n"
                                  "  halfarc serve --watch ~/captures --lan\n",
                                  [options](Context& c) { return serve(*options, c); });
  command
      ->add_option("--watch", options->watched,
                   "The folder into which your camera program writes (default: recordings in the home folder)")
      ->type_name("DIR");
  command->add_option("--port", options->port, "Where to listen (default: 4505; 0: any that is free)")
      ->check(CLI::Range(0, 65535))
      ->type_name("N");
  command->add_flag("--rehearse", options->rehearse,
                    "Play a simulated night into that folder at once; the pages ask for your hand");
  command->add_flag("--lan", options->lan, "Also for devices on your own network, paired by a code");
}

}  // namespace halfarc::cli
