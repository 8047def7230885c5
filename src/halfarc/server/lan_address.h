// The address under which a phone on the owner's network reaches this machine.
#pragma once

#include <string>

namespace halfarc::server {

// The first IPv4 address that is not of loopback, of an interface that is up; empty when there is none.
std::string lan_address();

}  // namespace halfarc::server
