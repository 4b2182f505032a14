"""The page as it is built, on a web server of this machine, in the Chromium that is installed."""

from __future__ import annotations

import functools
import http.server
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from compat.page.build import build_page
from compat.page.parts import parts_folder

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
PATIENCE_MS = 120_000


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that ``compat page`` writes; COMPAT_PAGE names one that is built already."""
    if ready := os.environ.get("COMPAT_PAGE"):
        return Path(ready)
    folder = tmp_path_factory.mktemp("page") / "built"
    build_page(folder, parts_folder())
    return folder


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def address(built: Path) -> Iterator[str]:
    """Where the page is served."""
    handler = functools.partial(_Quiet, directory=str(built))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, as Debian has it."""
    from playwright.sync_api import sync_playwright

    found = shutil.which("chromium")
    assert found, "Chromium is not installed"
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=found, args=list(FLAGS))
        yield chromium
        chromium.close()


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Opens the page at a width; at the end nothing has gone anywhere but to its own folder, and no fault."""
    contexts, faults, asked = [], [], []

    def open_page(width: int = 1400, script: str = "", at: str = address, **options: object) -> Page:
        context = browser.new_context(viewport={"width": width, "height": 800}, **options)  # type: ignore[arg-type]
        contexts.append(context)
        if script:
            context.add_init_script(script)
        context.on("request", lambda request: asked.append((at, request.url)))
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("dialog", answered)
        page.goto(at)
        page.wait_for_selector(".app-form")
        return page

    def answered(dialog: Dialog) -> None:
        if dialog.type != "beforeunload":
            faults.append(dialog.message)
        dialog.accept()

    yield open_page
    for context in contexts:
        context.close()
    assert faults == []
    assert [url for at, url in asked if not url.startswith((at, f"blob:{at}"))] == []
