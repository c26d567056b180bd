"""The command whole: it listens on this machine alone, and ends in order."""

from __future__ import annotations

import datetime as dt
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

import pytest

from gddcast.book.opening import open_book
from gddcast.errors import Refusal
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
        with pytest.raises(Refusal, match=f"port {port}: it can't be listened on"):
            listen(port)
    finally:
        for each in sockets:
            each.close()
    assert {each.family for each in sockets} <= {socket.AF_INET, socket.AF_INET6}
    assert f"localhost:{port}" in names_of(port)
    assert "localhost" not in names_of(port)
    assert "localhost" in names_of(80)


def test_killed_at_once_after_a_tap_nothing_is_lost(demo: Path, tmp_path: Path) -> None:
    """What the browser was told stands on the disk, and no lock keeps the next one out."""
    folder = Path(shutil.copytree(demo, tmp_path / "patch"))
    process = subprocess.Popen(
        [sys.executable, "-m", "gddcast", "page", "--book", str(folder), "--no-browser",
         "--on", "2026-06-11"],
        stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stderr is not None
    try:
        said = process.stderr.readline() + process.stderr.readline()
        address = re.findall(r"http://\S+", said)[0]
        home = address.split("/start")[0]
        browser = _opener()
        with browser.open(address, timeout=20) as answer:
            token = re.findall(r'name="token" value="(\w+)"', answer.read().decode())[0]
        form = urllib.parse.urlencode({"token": token, "organism": "squash-bug", "where": "row 9"})
        request = urllib.request.Request(f"{home}/looked", form.encode(), {"Origin": home})
        browser.open(request, timeout=20).close()
    finally:
        process.kill()
        process.wait()
        process.stderr.close()
    book = open_book(folder)
    assert book.journal().sightings[-1].where == "row 9"
    with book.writing(dt.datetime(2026, 6, 11, 12, tzinfo=dt.UTC), dt.date(2026, 6, 11),
                      trust_clock=True) as pen:  # fmt: skip
        pen.withdraw()
