// The routes, an area a function and a file: routes_<area>.cpp. docs/contracts/http.md says what they answer.
#pragma once

#include "halfarc/app/play_night.h"
#include "halfarc/server/clip_desk.h"
#include "halfarc/server/router.h"
#include "halfarc/server/served.h"

namespace halfarc::server {

// Each keeps a reference to `served`, which must outlive the router.
void add_page_routes(Router& router, Served& served);                       // the page, status, pairing
void add_event_routes(Router& router, Served& served);                      // the stream of events
void add_sky_routes(Router& router, Served& served);                        // tonight, where, train, budget
void add_file_routes(Router& router, Served& served);                       // site, rig, horizon, init
void add_job_routes(Router& router, Served& served);                        // make, rehearse, jobs
void add_image_routes(Router& router, Served& served);                      // finished images
void add_log_routes(Router& router, Served& served);                        // the logbook
void add_recording_routes(Router& router, Served& served, ClipDesk& desk);  // recordings and their pictures
void add_hand_routes(Router& router, Served& served, ClipDesk& desk);       // the card for the hand, what it turned

// Plays the evening of the script into the watched folder, as a job whose id is given; it waits for the hand, as the
// page notes it in the logbook. Errors (refused): too many jobs wait.
Result<std::string> add_rehearsal(Served& served, NightSize size);

}  // namespace halfarc::server
