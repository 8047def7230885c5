#include "halfarc/app/doctor_document.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace halfarc {
namespace {

std::vector<Finding> two() {
  return {
      {"memory", Health::good, "4.0 of 8.0 GB available", "as the system says now", "", {{"available", 4.0, {}, "GB"}}},
      {"disk", Health::fault, "takes 10 MB/s", "measured", "record less", {{"write", 10.0, 0.5, "MB/s"}}}};
}

TEST(DoctorDocument, SaysWhatHowSureAndWhatToDo) {
  const std::string words = doctor_words(two());
  EXPECT_NE(words.find("disk        fault    takes 10 MB/s"), std::string::npos) << words;
  EXPECT_NE(words.find("(measured)"), std::string::npos);
  EXPECT_NE(words.find("-> record less"), std::string::npos);
  EXPECT_EQ(words.find("->"), words.rfind("->"));  // nothing to do about memory
}

TEST(DoctorDocument, HasTheWorstAndEveryNumberWithItsError) {
  DoctorRequest request;
  request.version = "1.2.3";
  request.now = Utc::civil(2027, 2, 14, 20, 0, 0.0).value();
  const auto j = nlohmann::json::parse(doctor_json(two(), request));
  EXPECT_EQ(j["schema"], "halfarc.doctor/1");
  EXPECT_EQ(j["utc"], "2027-02-14T20:00:00.000Z");
  EXPECT_EQ(j["worst"], "fault");
  EXPECT_FALSE(j["findings"][0].contains("to_do"));
  EXPECT_EQ(j["findings"][1]["numbers"][0]["sigma"], 0.5);
}

}  // namespace
}  // namespace halfarc
