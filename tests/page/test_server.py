"""``compat serve``: the same page, answered by the program, for whoever has the address and nobody else."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest

from tests.conftest import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def served() -> Iterator[str]:
    """The address that the command prints; Ctrl-C ends it without a fault."""
    code = "from compat.cli.app import main; main()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, "serve", "--no-browser"], stderr=subprocess.PIPE, text=True, cwd=ROOT
    )
    assert process.stderr
    told = process.stderr.readline()
    yield re.findall(r"http://127\.0\.0\.1:\d+/\S+/", told)[0]
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=60)
    assert (process.returncode, "Traceback" in told) == (0, False)


def status(address: str, host: str = "") -> int:
    """The HTTP status of an address, asked under a host name."""
    asked = urllib.request.Request(address, headers={"Host": host} if host else {})
    try:
        with urllib.request.urlopen(asked) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as error:
        with error:
            return error.code


def test_without_the_token_or_by_another_host_there_is_nothing(served: str) -> None:
    base = served.rsplit("/", 2)[0]
    assert status(served) == 200
    assert status(base + "/") == 404
    assert status(base + "/ask") == 404
    assert status(served, host="example.org") == 400
    assert status(served + "..%2f..%2fapi.py") == 404


def test_the_same_screens_and_a_check_that_is_stopped(served: str, opened: Callable[..., Page]) -> None:
    page = opened(1400, at=served)
    page.get_by_role("button", name="Check a schedule").click()
    page.get_by_role("button", name="Try the invented demo house").click()
    page.get_by_text("judging 70 circuits").wait_for()
    page.get_by_role("button", name="Stop").click()
    page.get_by_role("button", name="Judge it again").click()
    page.wait_for_selector(".app-report #circuits")
    assert "70 circuits" in page.inner_text(".app-reading")
