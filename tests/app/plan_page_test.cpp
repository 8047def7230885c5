#include "halfarc/app/plan_page.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "halfarc/app/plan_calendar.h"
#include "halfarc/app/plan_chart.h"

namespace halfarc {
namespace {

NightPlan plan_of(const char* date, sky::Site site = {Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)}) {
  PlanRequest r;
  r.site = site;
  r.site_name = "Kelderhaven; harbour, <north> & \"south\"";
  r.noon = sky::noon_of(*Utc::parse(date), site);
  for (const sky::Body b : sky::kAllBodies) {
    if (b != sky::Body::sun) r.targets.push_back(b);
  }
  return *plan_night(r);
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t n = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

TEST(PlanPage, IsOneDocumentThatFetchesNothing) {
  const std::string html = plan_page(plan_of("2026-11-25"));
  EXPECT_TRUE(html.starts_with("<!doctype html>"));
  for (const char* never : {"http", "<script", "src=", "url(", "@import", "nan", "inf"})
    EXPECT_EQ(html.find(never), std::string::npos) << never;
  for (const char* tag : {"table", "section", "svg", "ul", "tr", "td", "li"}) {
    EXPECT_EQ(count(html, std::string("<") + tag + ">") + count(html, std::string("<") + tag + " "),
              count(html, std::string("</") + tag + ">"))
        << tag;
  }
  EXPECT_NE(html.find("Kelderhaven; harbour, &lt;north&gt; &amp; &quot;south&quot;"), std::string::npos);
}

TEST(PlanPage, TheChartDrawsEveryTargetThatCanBeRecorded) {
  const NightPlan plan = plan_of("2026-11-25");
  const std::string svg = plan_chart(plan);
  for (const TargetNight& t : plan.targets) {
    const std::string name = ">" + std::string(name_of(t.body)) + "</text>";
    EXPECT_EQ(svg.find(name) != std::string::npos, !t.windows.empty()) << name;
  }
  EXPECT_GE(count(svg, "stroke-width='2.6'"), 4U);
}

TEST(PlanPage, PolarDayAndNightAreDrawnToo) {
  for (const char* date : {"2026-06-21", "2026-12-21"}) {
    const std::string html = plan_page(plan_of(date, {Angle::deg(78.0), Angle::deg(15.0), Length::m(0.0)}));
    EXPECT_EQ(html.find("nan"), std::string::npos);
    EXPECT_NE(html.find("</svg>"), std::string::npos);
  }
}

TEST(PlanCalendar, LinesAreFoldedAndEndAsTheStandardSays) {
  const std::string ics = plan_calendar(plan_of("2026-11-25"), *Utc::parse("2026-11-25T12:00:00Z"));
  std::size_t start = 0;
  while (start < ics.size()) {
    const std::size_t end = ics.find("\r\n", start);
    ASSERT_NE(end, std::string::npos);
    EXPECT_LE(end - start, 75U) << ics.substr(start, end - start);
    EXPECT_EQ(ics.substr(start, end - start).find('\n'), std::string::npos);
    start = end + 2;
  }
  EXPECT_EQ(count(ics, "BEGIN:VEVENT"), count(ics, "END:VEVENT"));
  EXPECT_NE(ics.find("LOCATION:Kelderhaven\\; harbour\\, <north> & \"south\""), std::string::npos);
}

TEST(PlanCalendar, EntriesHaveNamesOfTheirOwnAndKeepThemWhenMadeAnew) {
  const NightPlan plan = plan_of("2026-11-25");
  const auto names = [&](const char* made_at) {
    const std::string ics = plan_calendar(plan, *Utc::parse(made_at));
    std::vector<std::string> found;
    for (std::size_t at = ics.find("UID:"); at != std::string::npos; at = ics.find("UID:", at + 1)) {
      found.push_back(ics.substr(at, ics.find("\r\n", at) - at));
    }
    return found;
  };
  auto first = names("2026-11-25T12:00:00Z");
  EXPECT_EQ(first, names("2026-11-25T13:00:00Z"));
  std::sort(first.begin(), first.end());
  EXPECT_EQ(std::adjacent_find(first.begin(), first.end()), first.end());
  EXPECT_GE(first.size(), 5U);
}

}  // namespace
}  // namespace halfarc
