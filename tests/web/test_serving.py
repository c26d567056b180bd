"""The command whole: it listens on this machine alone, and ends in order."""

from __future__ import annotations

import datetime as dt
import http.client
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from threading import Thread
from time import sleep

import pytest

from gddcast.book.opening import open_book
from gddcast.cli.page_address import Address
from gddcast.errors import Refusal
from gddcast.web.keys import Keys
from gddcast.web.serving import listen, names_of

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals are those of POSIX")


@pytest.fixture
def running(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The demo's page in a process of its own, and its address."""
    sockets, port = listen(0)
    for each in sockets:
        each.close()
    process = subprocess.Popen(
        [sys.executable, "-m", "gddcast", "page", "--demo", "--no-browser", "--port", str(port)],
        stderr=subprocess.PIPE, text=True, env={**os.environ, "TMPDIR": str(tmp_path)},
    )  # fmt: skip
    assert process.stderr is not None
    try:
        said = process.stderr.readline() + process.stderr.readline()
        yield process, re.findall(r"http://\S+", said)[0]
    finally:
        process.kill()
        process.wait()
        process.stderr.close()


def _opener() -> urllib.request.OpenerDirector:
    return urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_it_shows_the_day_and_ends_without_a_trace(
    running: tuple[subprocess.Popen[str], str], tmp_path: Path, end: signal.Signals
) -> None:
    process, address = running
    browser = _opener()
    with browser.open(address, timeout=20) as answer:
        assert "Thursday 11 June" in answer.read().decode()
    with pytest.raises(urllib.error.HTTPError, match="403") as refused:
        _opener().open(address, timeout=20)
    refused.value.close()
    process.send_signal(end)
    assert process.stderr is not None
    said = process.stderr.read()
    assert process.wait(timeout=20) == 0
    assert "Closed." in said
    assert "Traceback" not in said
    assert not list(tmp_path.iterdir())  # the demo's own folder is gone, so no lock is left either


def test_only_this_machine_reaches_it(running: tuple[subprocess.Popen[str], str]) -> None:
    """Linux's own table of listening sockets: each address is a loopback one."""
    _, address = running
    port = int(re.findall(r":(\d+)/", address)[0])
    table = Path("/proc/net/tcp")
    if not table.exists():
        pytest.skip("no table of sockets under /proc on this system")
    heard = []
    for name in ("tcp", "tcp6"):
        for line in Path(f"/proc/net/{name}").read_text().splitlines()[1:]:
            local, state = line.split()[1], line.split()[3]
            if state == "0A" and int(local.split(":")[1], 16) == port:
                heard.append(local.split(":")[0])
    assert heard
    assert set(heard) <= {"0100007F", "00000000000000000000000001000000"}


def test_a_taken_port_is_refused_by_name_and_stepped_round_otherwise() -> None:
    sockets, port = listen(0)
    try:
        with pytest.raises(Refusal, match=f"port {port}: it can’t be listened on"):
            listen(port)
    finally:
        for each in sockets:
            each.close()
    assert {each.family for each in sockets} <= {socket.AF_INET, socket.AF_INET6}
    assert f"localhost:{port}" in names_of(port)
    assert "localhost" not in names_of(port)
    assert "localhost" in names_of(80)


@pytest.mark.parametrize(
    ("end", "after"), [(signal.SIGKILL, 0.05), (signal.SIGKILL, 1.1), (signal.SIGINT, 0.4)]
)
def test_ended_while_four_people_log_nothing_is_lost(
    demo: Path, tmp_path: Path, end: signal.Signals, after: float
) -> None:
    """What a browser was told stands on the disk, and no lock keeps the next one out."""
    folder = Path(shutil.copytree(demo, tmp_path / "patch"))
    process = subprocess.Popen(
        [sys.executable, "-m", "gddcast", "page", "--book", str(folder), "--no-browser",
         "--on", "2026-06-11"],
        stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stderr is not None
    told: list[str] = []
    try:
        said = process.stderr.readline() + process.stderr.readline()
        address = re.findall(r"http://\S+", said)[0]
        home = address.split("/start")[0]
        browser = _opener()
        with browser.open(address, timeout=60) as answer:
            token = re.findall(r'name="token" value="(\w+)"', answer.read().decode())[0]
        people = [Thread(target=_logging, args=(browser, home, token, person, told))
                  for person in range(4)]  # fmt: skip
        for each in people:
            each.start()
        while not told and process.poll() is None:
            sleep(0.01)
        sleep(after)
        process.send_signal(end)
        for each in people:
            each.join(60)
        assert process.wait(60) == (0 if end == signal.SIGINT else -signal.SIGKILL)
    finally:
        process.kill()
        process.wait()
        process.stderr.close()
    book = open_book(folder)
    stands = [each.where for each in book.journal().sightings]
    assert told
    assert [each for each in told if stands.count(each) != 1] == []
    with book.writing(dt.datetime(2026, 6, 11, 12, tzinfo=dt.UTC), dt.date(2026, 6, 11),
                      trust_clock=True) as pen:  # fmt: skip
        pen.withdraw()


def _logging(
    browser: urllib.request.OpenerDirector, home: str, token: str, person: int, told: list[str]
) -> None:
    """Log a clean look in one bed after another until nobody answers."""
    for number in range(1_000):
        bed = f"person {person}, bed {number}"
        fields = {"token": token, "id": bed, "organism": "squash-bug", "where": bed}
        form = urllib.parse.urlencode(fields).encode()
        request = urllib.request.Request(f"{home}/tap", form, {"Origin": home})
        try:
            with browser.open(request, timeout=60) as answer:
                assert "Logged:" in answer.read().decode()
        except (OSError, http.client.HTTPException):
            return
        told.append(bed)


@pytest.mark.parametrize("browser", [True, False])
def test_it_says_that_a_browser_is_open_only_where_it_opened_one(
    browser: bool, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    address = Address(Keys(), 8460)
    address.open("Larkhollow", browser=browser)
    assert opened == [str(address)] * browser
    assert ("is open in your browser" in capsys.readouterr().err) is browser
