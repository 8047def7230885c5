#include "halfarc/app/doctor.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>

#include "halfarc/app/init_home.h"
#include "halfarc/app/owner_log.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

DoctorRequest request_of(const std::filesystem::path& home) {
  DoctorRequest request;
  request.home = home;
  request.try_disk = false;
  request.version = "1.2.3";
  request.now = Utc::now();
  return request;
}

const Finding& about(const std::vector<Finding>& findings, const std::string& subject) {
  const auto found =
      std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.subject == subject; });
  EXPECT_NE(found, findings.end()) << subject;
  return found == findings.end() ? findings.front() : *found;
}

TEST(Doctor, AMachineWithoutAHomeIsToldWhatToRun) {
  ScratchFolder folder;
  const auto findings = examine(request_of(folder / "none")).value();
  EXPECT_EQ(worst(findings), Health::caution);
  EXPECT_EQ(about(findings, "home").to_do, "run halfarc init");
  EXPECT_EQ(about(findings, "logbook").health, Health::good);
  EXPECT_EQ(about(findings, "disk").health, Health::unknown);
}

TEST(Doctor, AHomeWithALogbookIsWhole) {
  ScratchFolder folder;
  { const OwnerLog log = open_owner_log(folder / "home").value(); }
  const auto findings = examine(request_of(folder / "home")).value();
  EXPECT_EQ(about(findings, "home").health, Health::good);
  const Finding& book = about(findings, "logbook");
  EXPECT_EQ(book.health, Health::good) << book.what;
  EXPECT_NE(book.what.find("0 recordings"), std::string::npos);
}

TEST(Doctor, ADamagedLogbookIsAFault) {
  ScratchFolder folder;
  std::filesystem::create_directories(folder / "home");
  std::ofstream(logbook_of_home(folder / "home")) << "this is no database, nor will it become one";
  EXPECT_EQ(about(examine(request_of(folder / "home")).value(), "logbook").health, Health::fault);
}

TEST(Doctor, AFolderOfRecordingsThatIsNotThereIsAFault) {
  ScratchFolder folder;
  DoctorRequest request = request_of(folder / "home");
  request.recordings = folder / "nowhere";
  EXPECT_EQ(about(examine(request).value(), "recordings").health, Health::fault);
}

TEST(Doctor, TheDiskIsTriedAndLeftClean) {
  ScratchFolder folder;
  DoctorRequest request = request_of(folder / "home");
  request.recordings = folder / "clips";
  request.try_disk = true;
  std::filesystem::create_directories(request.recordings);
  const auto findings = examine(request).value();
  EXPECT_FALSE(about(findings, "disk").numbers.empty()) << about(findings, "disk").what;
  EXPECT_TRUE(std::filesystem::is_empty(request.recordings));
}

TEST(Doctor, ARegionThatTheSensorDoesNotHaveIsBadInput) {
  ScratchFolder folder;
  DoctorRequest request = request_of(folder / "home");
  request.region = "99999x10";
  EXPECT_FALSE(examine(request));
}

}  // namespace
}  // namespace halfarc
