"""Today in the browser, asked for by twenty clients at once: a 12-year book, twenty pests."""

from __future__ import annotations

import http.client
import os
import re
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import monotonic, sleep

import pytest

from gddcast.cli.demo_book import make_demo_book
from gddcast.readers.card_files import load_cards
from gddcast.web.serving import listen
from tests.acceptance.terminal import setting

_CLIENTS, _SECONDS = 20, 60.0
#: Memory is looked at so often. [s]
_EVERY = 10.0


def _memory(process: int) -> float:
    """What a process holds. [MB]"""
    held = re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{process}/status").read_text())
    return int(held[1]) / 1024 if held else float("nan")


def _asked(port: int, cookie: str, until: float) -> list[float]:
    taken = []
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    while monotonic() < until:
        begin = monotonic()
        client.request("GET", "/", headers={"cookie": cookie})
        answer = client.getresponse()
        answer.read()
        assert answer.status == 200
        taken.append(monotonic() - begin)
    client.close()
    return taken


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="memory is read under /proc")
def test_today_for_twenty_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Worked out once, then shown: what is printed is for the report, not a limit."""
    book = make_demo_book(tmp_path / "patch")
    pests = [key for key, card in load_cards().items() if card.group == "pest"][:20]
    text = (book.folder / "book.toml").read_text(encoding="utf-8")
    (line,) = re.findall(r"^watch = .*$", text, re.MULTILINE)
    setting(book.folder, line, f"watch = {pests!r}".replace("'", '"'))
    sockets, port = listen(0)
    for each in sockets:
        each.close()
    process = subprocess.Popen(
        [sys.executable, "-m", "gddcast", "page", "--book", str(book.folder), "--no-browser",
         "--port", str(port), "--on", "2026-06-11"],
        stderr=subprocess.PIPE, text=True, env=dict(os.environ),
    )  # fmt: skip
    assert process.stderr is not None
    try:
        said = process.stderr.readline() + process.stderr.readline()
        (key,) = re.findall(r"key=(\S+)", said)
        client = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        client.request("GET", f"/start?key={key}")
        cookie = (client.getresponse().getheader("set-cookie") or "").split(";")[0]
        client.close()
        _asked(port, cookie, monotonic() + 2.0)
        until, held = monotonic() + _SECONDS, list[float]()
        with ThreadPoolExecutor(_CLIENTS) as clients:
            every = clients.map(lambda _: _asked(port, cookie, until), range(_CLIENTS))
            while monotonic() < until:
                sleep(min(_EVERY, max(until - monotonic(), 0.0)))
                held.append(_memory(process.pid))
            taken = sorted(each for some in every for each in some)
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=20)
    p95 = taken[int(0.95 * len(taken))] * 1000
    with capsys.disabled():
        each_second = len(taken) / _SECONDS
        memory = ", ".join(f"{each:.0f}" for each in held)
        print(f"\nToday, {_CLIENTS} clients at once for a minute: {each_second:.0f} requests a "
              f"second, 95 % within {p95:.0f} ms; MB every {_EVERY:.0f} s: {memory}")  # fmt: skip
    assert held[-1] < held[1] * 1.05
