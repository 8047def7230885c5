#include "halfarc/app/arrivals.h"

#include <algorithm>

namespace halfarc {

Arrivals::Arrivals(const Listing& before) {
  for (const auto& [name, state] : before) {
    files_[name] = {state, Duration(), Writer::untold, true, false};
    seen_.insert(state.identity());
  }
}

void Arrivals::changed(const FolderChange& change) {
  if (change.what == FolderChange::What::lost) {
    told_.clear();
    for (auto& [name, known] : files_) known.writer = Writer::untold;
    return;
  }
  const Writer writer = change.what == FolderChange::What::closed ? Writer::closed : Writer::writing;
  const auto at = files_.find(change.name);
  if (at != files_.end()) {
    at->second.writer = writer;
  } else {
    told_[change.name] = writer;
  }
}

Arrivals::News Arrivals::look(const Listing& listing, Duration now) {
  for (auto at = files_.begin(); at != files_.end();)
    at = listing.count(at->first) > 0 ? std::next(at) : files_.erase(at);
  News news;
  std::vector<std::pair<std::int64_t, std::string>> ready;
  for (const auto& [name, state] : listing) {
    const auto [at, is_new] = files_.try_emplace(name);
    Known& known = at->second;
    if (is_new || known.state.identity() != state.identity()) {
      known.still_since = now;
      known.done = seen_.count(state.identity()) > 0;
    }
    known.state = state;
    if (const auto told = told_.find(name); told != told_.end()) known.writer = told->second;
    if (!waits(known) || now - known.still_since < settling(known)) continue;
    if (!state.readable) {
      if (!known.said_locked) news.locked.push_back(name);
      known.said_locked = true;
      continue;
    }
    known.done = true;
    seen_.insert(state.identity());
    ready.emplace_back(state.modified_ns, name);
  }
  told_.clear();
  std::sort(ready.begin(), ready.end());
  for (auto& [modified, name] : ready) news.ready.push_back(std::move(name));
  return news;
}

bool Arrivals::waits(const Known& known) const {
  return !known.done && known.writer != Writer::writing && known.state.size > 0;
}

Duration Arrivals::settling(const Known& known) { return known.writer == Writer::closed ? kAfterClose : kUntold; }

Duration Arrivals::patience(Duration now) const {
  Duration least = Duration::s(1.0);
  for (const auto& [name, known] : files_) {
    if (waits(known) && known.state.readable)
      least = std::clamp(known.still_since + settling(known) - now, Duration(), least);
  }
  return least;
}

}  // namespace halfarc
