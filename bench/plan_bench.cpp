// build/release/bench/plan_bench [nights]
//
// Planning one night for all targets, words and document included, on one thread. Bar: at most 0.5 s. By default 1000
// nights in a row, one site a night from 70 S to 70 N, polar day and night included: every one must be planned.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "halfarc/app/plan_document.h"
#include "halfarc/app/plan_night.h"

namespace {

using namespace halfarc;

double seconds_of(const PlanRequest& request, bool& good) {
  const auto start = std::chrono::steady_clock::now();
  const auto plan = plan_night(request);
  good = good && plan && !plan_words(*plan).empty() && !plan_json(*plan).empty();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

int main(int argc, char** argv) {
  using sky::Body;
  const int nights = argc > 1 ? std::max(1, std::atoi(argv[1])) : 1000;
  const Utc first = *Utc::parse("2026-01-01");
  std::vector<double> seconds;
  bool good = true;
  for (int i = 0; i < nights; ++i) {
    const double latitude = 70.0 * std::sin(6.283185307 * std::fmod(i * 0.6180339887, 1.0));  // dwells near 70
    PlanRequest request;
    request.site = {Angle::deg(latitude), Angle::deg(std::fmod(i * 137.5, 360.0) - 180.0), Length::m(0.0)};
    request.noon = sky::noon_of(first, request.site) + Duration::days(i);
    request.rig = example_rig();
    request.targets = {Body::moon,    Body::mercury, Body::venus,  Body::mars,
                       Body::jupiter, Body::saturn,  Body::uranus, Body::neptune};
    seconds.push_back(seconds_of(request, good));
  }
  std::sort(seconds.begin(), seconds.end());
  fmt::print("bench: plan/one night, all targets  median {:.1f} ms  worst {:.1f} ms  of {} nights{}\n",
             1e3 * seconds[seconds.size() / 2], 1e3 * seconds.back(), nights, good ? "" : "  WRONG");
  return good ? 0 : 1;
}
