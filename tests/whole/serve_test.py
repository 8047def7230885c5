"""halfarc serve, over real sockets: what it answers, and the attacks that it must stand."""

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import time
import unittest

import jsonschema
from bench import CONTRACTS, Bench, halfarc
from small_run import write_run

BINARY = os.environ["HALFARC"]
JSON = {"Content-Type": "application/json"}


SERVER = json.loads((CONTRACTS / "server.schema.json").read_text(encoding="utf-8"))
# Which definition an address answers with; what is not here prints the document of a command.
ANSWERS = {
    ("GET", "status"): "status",
    ("GET", "site"): "owner_file",
    ("GET", "rig"): "owner_file",
    ("GET", "horizon"): "owner_file",
    ("PUT", "site"): "ok",
    ("PUT", "rig"): "ok",
    ("PUT", "horizon"): "ok",
    ("POST", "init"): "written",
    ("POST", "turned"): "turned",
    ("POST", "make"): "accepted",
    ("POST", "rehearse"): "accepted",
    ("POST", "notes"): "ok",
    ("POST", "pair"): "ok",
    ("DELETE", "jobs"): "ok",
    ("GET", "recordings"): "recordings",
    ("GET", "step"): "steps",
    ("GET", "jobs"): "jobs",
    ("GET", "images"): "images",
}
EVENTS = {"hello": "hello", "clip": "clip", "reading": "heard", "job": "job", "log": "logged"}


def holds(document, definition):
    """That a document of the server's own is as its contract says."""
    jsonschema.validate(document, {**SERVER, "anyOf": [{"$ref": f"#/definitions/{definition}"}]})


def check_answer(method, path, status, header, body):
    """Every JSON answer of every test is held against its contract."""
    if not header.get("Content-Type", "").startswith("application/json") or method == "HEAD":
        return
    if "Content-Disposition" in header:
        return  # a file that is handed over
    document = json.loads(body)
    if status >= 400:
        return holds(document, "error")
    parts = path.split("?")[0].split("/")[2:]
    one = method == "GET" and len(parts) > 1
    if not one and (method, parts[0]) in ANSWERS:
        return holds(document, ANSWERS[method, parts[0]])
    name = document["schema"].split(".")[1].split("/")[0]
    return jsonschema.validate(document, json.loads((CONTRACTS / f"{name}.schema.json").read_text(encoding="utf-8")))


class Served(Bench):
    """One server on a home folder of its own, and a watched folder."""

    lan = False

    def setUp(self):
        super().setUp()
        self.home = self.folder / "home"
        self.clips = self.folder / "clips"
        self.clips.mkdir()
        self.begin()

    def tearDown(self):
        self.server.kill()
        self.server.communicate()
        super().tearDown()

    def begin(self, port=0):
        words = [BINARY, "serve", "--watch", str(self.clips), "--port", str(port)] + (["--lan"] if self.lan else [])
        environment = {**os.environ, "HALFARC_HOME": str(self.home)}
        self.server = subprocess.Popen(
            words, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8"
        )
        self.said = ""
        while "Ctrl-C" not in self.said:
            line = self.server.stdout.readline()
            self.assertNotEqual(line, "", self.said)
            self.said += line
        self.port = int(re.search(r"http://127\.0\.0\.1:(\d+)/", self.said).group(1))

    def ask(self, method, path, body=None, headers=None, host="127.0.0.1"):
        """Status, header and bytes of one answer."""
        line = http.client.HTTPConnection(host, self.port, timeout=20)
        if body is not None and not isinstance(body, (bytes, str)):
            body = json.dumps(body)
        line.request(method, path, body, headers if headers is not None else (JSON if body is not None else {}))
        answer = line.getresponse()
        found = answer.status, dict(answer.getheaders()), answer.read()
        line.close()
        check_answer(method, path, *found)
        return found

    def get(self, path, status=200):
        found, _, body = self.ask("GET", path)
        self.assertEqual(found, status, body[:300])
        return json.loads(body)

    def raw(self, text, timeout=15):
        """Everything that comes back for bytes sent as they are."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=timeout) as line:
            line.sendall(text if isinstance(text, bytes) else text.encode("latin-1"))
            answer = b""
            try:
                while part := line.recv(65536):
                    answer += part
            except OSError:
                pass
            return answer

    def refused(self, found, *statuses):
        status, _, body = found
        self.assertIn(status, statuses, body[:300])
        error = json.loads(body)["error"]
        self.assertEqual(sorted(error), ["to_do", "what", "where"])
        self.assertTrue(error["what"])
        return error

    def listen(self, last_id=None):
        return Listener(self.port, last_id)


class Listener:
    """A page that listens to the events."""

    def __init__(self, port, last_id=None):
        self.line = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        self.line.request("GET", "/api/events", headers={"Last-Event-ID": last_id} if last_id else {})
        self.answer = self.line.getresponse()

    def next(self, *names):
        """The next event of one of these names: id, name, data."""
        event = {}
        while True:
            text = self.answer.readline().decode().rstrip("\n")
            if not text and event.get("event") in names:
                data = json.loads(event["data"])
                holds(data, EVENTS[event["event"]])
                return event["id"], event["event"], data
            if not text:
                event = {}
            elif ": " in text:
                key, value = text.split(": ", 1)
                event[key] = value

    def close(self):
        self.line.close()


class Answers(Served):
    def test_the_page_and_its_rules(self):
        status, header, body = self.ask("GET", "/")
        self.assertEqual(status, 200)
        self.assertIn(b"</html>", body)
        self.assertEqual(header["Content-Type"], "text/html; charset=utf-8")
        self.assertEqual(header["Cache-Control"], "no-store")
        self.assertEqual(header["X-Content-Type-Options"], "nosniff")
        self.assertIn("default-src 'none'", header["Content-Security-Policy"])
        for asset in re.findall(rb'(?:src|href)="(/assets/[^"]+)"', body):
            self.assertEqual(self.ask("GET", asset.decode())[0], 200, asset)

    def test_says_what_the_commands_say(self):
        halfarc("init", home=self.home)
        for path, command, words in (
            ("where?target=jupiter&at=2026-11-25T22:04Z", "where", ("jupiter", "--at", "2026-11-25T22:04Z")),
            ("tonight?date=2026-11-25&target=mars", "plan", ("--date", "2026-11-25", "--target", "mars")),
            ("train", "train", ()),
            ("budget?target=jupiter&at=2026-11-26T04:00Z", "budget", ("--target", "jupiter", "--at", "2026-11-26T04:00Z")),
        ):
            run = halfarc(command, *words, "--json", home=self.home)
            self.assertEqual(self.get("/api/" + path), json.loads(run.stdout), command)
        status, header, body = self.ask("GET", "/api/train.svg?remove=amplifier")
        self.assertEqual((status, header["Content-Type"]), (200, "image/svg+xml"))
        self.assertTrue(body.startswith(b"<svg"))
        hour = "target=jupiter&at=2026-11-26T04:00Z"
        usual = self.get(f"/api/budget?{hour}")
        bare = self.get(f"/api/budget?{hour}&remove=amplifier")
        blur = [budget["predicted"]["fwhm_arcsec"] for budget in (usual, bare)]
        self.assertGreater(blur[1], blur[0])  # larger pixels on the sky
        self.refused(self.ask("GET", f"/api/budget?{hour}&remove=flywheel"), 422)
        self.refused(self.ask("GET", "/api/where?target=krypton"), 422)
        self.refused(self.ask("GET", "/api/where?target=sun&at=2026-06-21T12:00Z"), 403)

    def test_the_owners_files(self):
        self.assertFalse(self.get("/api/site")["exists"])
        self.assertEqual(self.ask("POST", "/api/init", {"telescope": "newtonian", "site": "28.3N,16.5W,2390"})[0], 200)
        self.refused(self.ask("POST", "/api/init", {"telescope": "sct"}), 422)
        before = self.get("/api/site")
        self.assertTrue(before["exists"])
        error = self.refused(self.ask("PUT", "/api/site", {"text": "latitude_deg = 99\nlongitude_deg = 0\n"}), 422)
        self.assertIn("site.toml", error["where"])
        self.assertEqual(self.get("/api/site"), before)
        changed = before["text"].replace("2390.0", "2400.0")
        self.assertEqual(self.ask("PUT", "/api/site", {"text": changed})[0], 200)
        self.assertEqual(self.get("/api/site")["text"], changed)
        kept = list(self.home.glob("site.toml.2*"))
        self.assertEqual([k.read_text(encoding="utf-8") for k in kept], [before["text"]])
        self.assertEqual(self.ask("PUT", "/api/horizon", {"text": "0,5,roof,yes\n180,10,tree,no\n"})[0], 200)
        self.refused(self.ask("PUT", "/api/rig", {"text": "[telescope"}), 422)
        status = self.get("/api/status")
        self.assertTrue(status["has_site"] and status["has_rig"] and status["paired"])

    def test_a_clip_is_told_when_it_is_closed(self):
        page = self.listen()
        _, _, hello = page.next("hello")
        self.assertTrue(hello["fresh"])
        time.sleep(0.3)
        write_run(self.clips / "mars.ser", frames=160)
        closed = time.monotonic()
        _, _, clip = page.next("clip")
        self.assertEqual(clip["name"], "mars.ser")
        last, _, reading = page.next("reading")
        self.assertLess(time.monotonic() - closed, 10.0)  # the bar is 2 s on an idle machine: bench
        self.assertEqual(reading["recording"]["kind"], "planet")
        page.close()
        clip_id = reading["recording"]["id"]
        (listed,) = self.get("/api/recordings")["recordings"]
        self.assertEqual(listed, reading["recording"])
        document = self.get(f"/api/recordings/{clip_id}")
        self.assertEqual(document["schema"], "halfarc.check/1")
        status, header, picture = self.ask("GET", f"/api/recordings/{clip_id}/picture.png?width=64")
        self.assertEqual((status, header["Content-Type"]), (200, "image/png"))
        self.assertTrue(picture.startswith(b"\x89PNG"))
        steps = self.get("/api/step")["steps"]
        self.assertEqual(
            [s["step"] for s in steps], "cool collimate train find disperse focus expose record".split()
        )
        self.assertEqual(steps[3]["last"]["recording"], clip_id)
        # What came after the id that a page saw last comes again, also on a new stream.
        again = self.listen(last)
        self.assertFalse(again.next("hello")[2]["fresh"])
        self.assertEqual(self.ask("POST", "/api/notes", {"text": "haze"})[0], 200)
        self.assertEqual(again.next("log")[2], {"what": "note"})
        again.close()

    def test_a_clip_that_was_closed_while_no_one_watched_is_read(self):
        self.server.kill()
        self.server.communicate()
        for name, written in (("earlier.ser", time.time()), ("last-year.ser", 1.0e9)):
            write_run(self.clips / name, frames=60)
            os.utime(self.clips / name, (written, written))
        self.begin(self.port)
        deadline = time.monotonic() + 30.0
        checked = {}
        while not checked.get("earlier.ser"):
            self.assertLess(time.monotonic(), deadline)
            time.sleep(0.2)
            checked = {one["name"]: one["checked"] for one in self.get("/api/recordings")["recordings"]}
        time.sleep(1.0)
        checked = {one["name"]: one["checked"] for one in self.get("/api/recordings")["recordings"]}
        self.assertEqual(checked, {"earlier.ser": True, "last-year.ser": False})

    def test_makes_an_image_and_shows_it(self):
        write_run(self.clips / "mars.ser", frames=160)
        (clip,) = self.get("/api/recordings")["recordings"]
        page = self.listen()
        status, _, body = self.ask("POST", "/api/make", {"runs": [clip["id"]], "name": "../Mars <b>"})
        self.assertEqual(status, 202, body)
        job = json.loads(body)["job"]
        state = {}
        while state.get("state") not in ("done", "failed"):
            state = page.next("job")[2]
        self.assertEqual((state["id"], state["state"]), (job, "done"), state)
        page.close()
        (image,) = self.get("/api/images")["images"]
        self.assertEqual((image["id"], image["name"]), (state["result"], "Mars-b"))
        self.assertEqual(image["outputs"], ["fits", "tif", "png"])
        self.assertEqual(self.get(f"/api/images/{image['id']}")["schema"], "halfarc.image/1")
        for part in ("image", "stack", "half1", "half2", "trust"):
            status, header, body = self.ask("GET", f"/api/images/{image['id']}/view.png?part={part}&zoom=2&turn=90&flip=1")
            self.assertEqual((status, header["Content-Type"]), (200, "image/png"), body[:200])
            wide, high = (int.from_bytes(body[at : at + 4], "big") for at in (16, 20))
            self.assertEqual((wide, high), (2 * image["height"], 2 * image["width"]))
        self.refused(self.ask("GET", f"/api/images/{image['id']}/view.png?turn=45"), 400)
        self.refused(self.ask("GET", f"/api/images/{image['id']}/view.png?zoom=9"), 400)
        self.refused(self.ask("GET", f"/api/images/{image['id']}/view.png?part=../x"), 422)
        status, header, body = self.ask("GET", f"/api/images/{image['id']}/file?format=fits")
        self.assertTrue(status == 200 and body.startswith(b"SIMPLE  ="))
        for form, begins in (("html", b"<!"), ("svg", b"<svg"), ("txt", b"Mars"), ("json", b"{")):
            status, header, body = self.ask("GET", f"/api/report?image={image['id']}&target=mars&format={form}")
            self.assertEqual(status, 200, body[:300])
            self.assertIn(f'filename="Mars-b-report.{form}"', header["Content-Disposition"])
            self.assertIn(begins, body[:300])
        self.refused(self.ask("GET", f"/api/report?image={image['id']}&target=mars&format=exe"), 400)
        self.refused(self.ask("GET", "/api/report?image=0000000000000000"), 404)
        self.refused(self.ask("GET", f"/api/report?image={image['id']}&night=2026-11-25"), 400)
        nights = self.get("/api/log")["nights"]
        self.assertTrue(nights)
        for form, begins in (("html", b"<!"), ("txt", b"20"), ("json", b"{")):
            status, header, body = self.ask("GET", f"/api/report?night={nights[0]['date']}&format={form}")
            self.assertEqual(status, 200, body[:300])
            self.assertIn(f'filename="night-{nights[0]["date"]}.{form}"', header["Content-Disposition"])
            self.assertIn(begins, body[:300])
        self.refused(self.ask("GET", f"/api/report?night={nights[0]['date']}&format=svg"), 400)
        self.refused(self.ask("GET", "/api/report?night=1999-01-01"), 422)
        self.refused(self.ask("DELETE", f"/api/jobs/{job}"), 409)
        self.refused(self.ask("DELETE", "/api/jobs/job-77"), 404)

    def test_a_spin_that_cannot_be_undone_is_told(self):
        write_run(self.clips / "clip.ser", frames=60)
        (clip,) = self.get("/api/recordings")["recordings"]
        runs = {"runs": [clip["id"]]}
        self.refused(self.ask("POST", "/api/make", {**runs, "target": "krypton"}), 422)
        self.refused(self.ask("POST", "/api/make", {**runs, "north_deg": "up"}), 400)
        page = self.listen()
        self.assertEqual(self.ask("POST", "/api/make", {**runs, "target": "moon"})[0], 202)
        state = {}
        while state.get("state") not in ("done", "failed"):
            state = page.next("job")[2]
        page.close()
        self.assertEqual(state["state"], "failed", state)  # the Moon does not turn as a disc
        self.assertTrue(state["error"]["to_do"])

    def test_a_rehearsal_asks_for_the_hand_and_stops_when_asked(self):
        self.assertEqual(self.ask("POST", "/api/init", {"telescope": "sct"})[0], 200)
        self.refused(self.ask("POST", "/api/rehearse", {"short": "yes"}), 400)
        page = self.listen()
        job = json.loads(self.ask("POST", "/api/rehearse", {"short": True})[2])["job"]
        reading = page.next("reading")[2]
        first = reading["recording"]
        self.assertEqual(first["frames"], 200)  # short
        turns = [one for one in reading["advice"] if one["turn"] != 0]
        self.assertTrue(turns, reading)
        for one in turns:
            words = {"control": one["control"], "amount": f"{one['turn']} {one['unit']}"}
            self.assertEqual(self.ask("POST", "/api/turned", words)[0], 200)
        second = page.next("reading")[2]["recording"]
        self.assertGreater(second["mid_utc"], first["mid_utc"])
        self.assertEqual(self.ask("DELETE", f"/api/jobs/{job}")[0], 200)
        state = {}
        while state.get("state") not in ("done", "failed", "stopped"):
            state = page.next("job")[2]
        self.assertEqual(state["state"], "stopped")
        page.close()
        # The turn stands between the two clips, by their own clock.
        (night,) = self.get("/api/log")["nights"]
        for turn in self.get(f"/api/log/{night['date']}")["night"]["turns"]:
            self.assertTrue(first["mid_utc"] < turn["utc"] < second["mid_utc"], turn)

    def test_the_hand_and_the_logbook(self):
        status, _, body = self.ask("POST", "/api/turned", {"control": "focus", "amount": "1/16 cw"})
        self.assertEqual(status, 200, body)
        self.assertIn("1/16 turn clockwise", json.loads(body)["words"])
        self.refused(self.ask("POST", "/api/turned", {"control": "focus", "amount": "a bit"}), 422)
        self.refused(self.ask("POST", "/api/turned", {"control": "brake", "amount": "1"}), 422)
        self.assertEqual(self.ask("POST", "/api/notes", {"text": "<img src=x onerror=alert(1)> haze"})[0], 200)
        (night,) = self.get("/api/log")["nights"]
        one = json.dumps(self.get(f"/api/log/{night['date']}"))
        self.assertIn("<img src=x onerror=alert(1)> haze", one)  # as it was written: the page writes it as text
        self.refused(self.ask("GET", "/api/log/1999-01-01"), 404)
        for form, kind in (("json", "application/json"), ("csv", "text/csv; charset=utf-8")):
            status, header, body = self.ask("GET", f"/api/log/export?format={form}")
            self.assertEqual((status, header["Content-Type"]), (200, kind))
            self.assertIn("attachment", header["Content-Disposition"])
        self.refused(self.ask("GET", "/api/log/export?format=exe"), 400)

    def test_one_server_a_home(self):
        run = halfarc("serve", "--port", "0", home=self.home)
        self.expect_one_line(run, 1, "serves this home folder already", f"http://127.0.0.1:{self.port}/")

    def test_a_taken_port_and_a_folder_that_is_not_there(self):
        other = self.folder / "other"
        self.expect_one_line(halfarc("serve", "--port", str(self.port), home=other), 1, "port")
        run = halfarc("serve", "--watch", str(self.folder / "none"), home=other)
        self.expect_one_line(run, 3, "is no folder")

    def test_ends_at_once_when_asked(self):
        for end in (signal.SIGINT, signal.SIGTERM):
            pages = [self.listen() for _ in range(5)]
            for page in pages:
                page.next("hello")
            asked = time.monotonic()
            self.server.send_signal(end)
            self.assertEqual(self.server.wait(10), 0)
            self.assertLess(time.monotonic() - asked, 5.0)
            self.assertEqual(self.server.stderr.read(), "")
            for page in pages:
                page.close()
            self.server.communicate()
            self.begin()

    def test_comes_back_after_a_kill(self):
        page = self.listen()
        last = page.next("hello")[0]
        self.server.kill()
        self.server.communicate()
        page.close()
        self.begin(self.port)
        again = self.listen(last)
        self.assertTrue(again.next("hello")[2]["fresh"])
        again.close()


class Attacks(Served):
    def test_answers_come_at_once_and_in_their_own_words(self):
        # Compressing the script anew for every page took longer than painting it.
        for path in ("/assets/app.js", "/api/status"):
            status, header, body = self.ask("GET", path, headers={"Accept-Encoding": "gzip, br"})
            self.assertEqual(status, 200)
            self.assertNotIn("content-encoding", {name.lower() for name in header})
            self.assertEqual(int(header["Content-Length"]), len(body))
        self.assertEqual(self.refused(self.ask("GET", "/api/nothing"), 404)["what"], "there is nothing at this address")
        self.assertEqual(self.refused(self.ask("POST", "/api/pair", "x", {"Content-Type": "text/plain"}), 403, 415)["what"],
                         "a write must say that it is JSON")
        self.assertIn(b"the request cannot be understood", self.raw("BREW / HTTP/1.1\r\nHost: x\r\n\r\n"))

    def test_foreign_host_and_origin(self):
        for headers in (
            {"Host": "evil.example"},
            {"Host": f"evil.example:{self.port}"},
            {"Origin": "http://evil.example"},
            {"Origin": "null"},
            {"Sec-Fetch-Site": "cross-site"},
        ):
            self.refused(self.ask("GET", "/api/status", headers=headers), 403)
            self.refused(self.ask("POST", "/api/notes", {"text": "x"}, {**JSON, **headers}), 403)
        self.assertEqual(self.get("/api/log")["nights"], [])

    def test_a_form_cannot_write(self):
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=a"):
            self.refused(self.ask("POST", "/api/notes", '{"text": "x"}', {"Content-Type": kind}), 415)
        self.refused(self.ask("OPTIONS", "/api/notes"), 400, 404, 405)

    def test_a_refused_body_is_no_second_request(self):
        inner = f"POST /api/notes HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\nContent-Type: application/json\r\n"
        inner += 'Content-Length: 12\r\n\r\n{"text":"x"}'
        outer = f"POST /api/notes HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\nContent-Type: text/plain\r\n"
        answer = self.raw(outer + f"Content-Length: {len(inner)}\r\n\r\n" + inner)
        self.assertEqual(answer.count(b"HTTP/1.1"), 1)
        self.assertIn(b" 415 ", answer)
        chunked = f"POST /api/notes HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\nContent-Type: application/json\r\n"
        answer = self.raw(chunked + 'Transfer-Encoding: chunked\r\n\r\nc\r\n{"text":"x"}\r\n0\r\n\r\n' + inner)
        self.assertEqual(answer.count(b"HTTP/1.1"), 1)
        self.assertIn(b" 400 ", answer)
        self.assertEqual(self.get("/api/log")["nights"], [])

    def test_no_path_leads_out(self):
        secret = self.folder / "secret.ser"
        write_run(secret, frames=20)
        (self.clips / "link.ser").symlink_to(secret)
        (self.clips / "folder").symlink_to(self.folder)
        self.assertEqual(self.get("/api/recordings")["recordings"], [])
        for path in (
            "/../../etc/passwd",
            "/assets/../../../etc/passwd",
            "/assets/%2e%2e/%2e%2e/etc/passwd",
            "/api/recordings/..%2f..%2fsecret.ser",
            "/api/recordings/../../secret.ser/picture.png",
            "/api/images/%2e%2e/file?format=fits",
            "//etc/passwd",
            "/%00",
        ):
            status, _, body = self.ask("GET", path)
            self.assertIn(status, (400, 404), path)
            self.assertNotIn(b"root:", body)

    def test_malformed_and_huge_bodies(self):
        for body in (b"", b"{", b"[" * 900_000, b'{"text": 1}', b'{"other": "x"}', b"\xff\xfe", b'{"text": "\xff"}'):
            self.refused(self.ask("POST", "/api/notes", body, JSON), 400)
        self.refused(self.ask("POST", "/api/notes", b" " * (1 << 20) + b" ", JSON), 413)
        self.refused(self.ask("POST", "/api/notes", b" " * (5 << 20), JSON), 413)
        self.refused(self.ask("GET", "/" + "a" * 5000), 400)
        for nonsense in (b"\x00" * 5000, b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"\r\n" * 2000, b"A" * 200_000):
            self.raw(nonsense)
        self.get("/api/status")

    def test_slow_and_many_connections_leave_room(self):
        lines = []
        for _ in range(200):
            line = socket.create_connection(("127.0.0.1", self.port), timeout=20)
            line.sendall(b"GET / HTTP/1.1\r\nX: ")
            self.addCleanup(line.close)
            lines.append(line)
        began = time.monotonic()
        self.get("/api/status")
        self.assertLess(time.monotonic() - began, 5.0)
        # Each is cut off after its ten seconds, however it drips.
        dripping = lines[-1]
        ended = False
        while not ended and time.monotonic() - began < 25.0:
            time.sleep(0.5)
            try:
                dripping.sendall(b"x")
                dripping.settimeout(0.01)
                ended = dripping.recv(1000) == b""
            except TimeoutError:
                pass
            except OSError:
                ended = True
        self.assertTrue(ended)
        self.assertGreater(time.monotonic() - began, 5.0)

    def test_a_reader_that_does_not_read(self):
        sleepers = []
        for _ in range(40):
            line = socket.create_connection(("127.0.0.1", self.port), timeout=20)
            line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
            line.sendall(f"GET /assets/app.js HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\n\r\n".encode())
            sleepers.append(line)
        self.get("/api/status")
        for line in sleepers:
            line.close()

    def test_streams_are_capped_and_free_their_place(self):
        pages = [self.listen() for _ in range(32)]
        for page in pages:
            self.assertEqual(page.answer.status, 200)
        status, header, _ = self.ask("GET", "/api/events")
        self.assertEqual((status, header["Retry-After"]), (429, "5"))
        self.get("/api/status")
        for page in pages:
            page.answer.close()
            page.close()
        deadline = time.monotonic() + 10.0
        while True:
            page = self.listen()
            if page.answer.status == 200:
                break
            self.assertLess(time.monotonic(), deadline)
            time.sleep(0.2)
        page.close()

    def test_names_that_are_markup_stay_text(self):
        write_run(self.clips / "<img src=x onerror=alert(1)>.ser", frames=60)
        (clip,) = self.get("/api/recordings")["recordings"]
        self.assertEqual(clip["name"], "<img src=x onerror=alert(1)>.ser")
        self.assertRegex(clip["id"], r"^[0-9a-f]{16}$")


class Pairing(Served):
    lan = True

    def network(self):
        found = re.search(r"open http://([0-9.]+):", self.said)
        if found is None:
            self.skipTest("this machine has no network")
        return found.group(1)

    def test_a_phone_pairs_and_guessing_is_slowed_down(self):
        address = self.network()
        code = re.search(r"enter the code ([0-9A-Z]{4} [0-9A-Z]{4})", self.said).group(1)
        self.assertIn("█", self.said)
        self.assertEqual(self.ask("GET", "/", host=address)[0], 200)
        status = json.loads(self.ask("GET", "/api/status", host=address)[2])
        self.assertEqual(sorted(status), ["now_utc", "paired", "schema", "version"])
        self.assertFalse(status["paired"])
        self.refused(self.ask("GET", "/api/step", host=address), 403)
        self.refused(self.ask("GET", "/api/events", host=address), 403)
        self.refused(self.ask("POST", "/api/pair", {"code": "22222222"}, host=address), 403)
        status, header, _ = self.ask("POST", "/api/pair", {"code": code.lower()}, host=address)
        self.assertEqual(status, 200)
        self.assertIn("HttpOnly", header["Set-Cookie"])
        self.assertIn("SameSite=Strict", header["Set-Cookie"])
        cookie = {"Cookie": header["Set-Cookie"].split(";")[0]}
        self.assertEqual(self.ask("GET", "/api/step", headers=cookie, host=address)[0], 200)
        self.refused(self.ask("GET", "/api/step", headers={"Cookie": "halfarc_session=0"}, host=address), 403)
        # A restart keeps the pairing, under another code; what is kept is no key.
        self.server.kill()
        self.server.communicate()
        self.begin(self.port)
        self.assertEqual(self.ask("GET", "/api/step", headers=cookie, host=address)[0], 200)
        kept = self.home / "sessions"
        self.assertEqual(kept.stat().st_mode & 0o777, 0o600)
        stolen = {"Cookie": f"halfarc_session={kept.read_text().split()[0]}"}
        self.refused(self.ask("GET", "/api/step", headers=stolen, host=address), 403)
        code = re.search(r"enter the code ([0-9A-Z]{4} [0-9A-Z]{4})", self.said).group(1)
        for _ in range(5):
            self.refused(self.ask("POST", "/api/pair", {"code": "22222222"}, host=address), 403)
        status, header, _ = self.ask("POST", "/api/pair", {"code": code}, host=address)
        self.assertEqual(status, 429)
        self.assertLessEqual(int(header["Retry-After"]), 60)


if __name__ == "__main__":
    unittest.main()
