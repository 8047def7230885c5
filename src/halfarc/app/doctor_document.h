// What `halfarc doctor` found: the words on the terminal and the JSON document `halfarc.doctor/1`.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/doctor.h"

namespace halfarc {

// A paragraph a finding: subject and health, what, how sure, and what to do.
std::string doctor_words(const std::vector<Finding>& findings);

std::string doctor_json(const std::vector<Finding>& findings, const DoctorRequest& request);

}  // namespace halfarc
