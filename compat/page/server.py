"""The page from the program on this machine: on loopback alone, with a token in its address."""

from __future__ import annotations

import json
import multiprocessing
import secrets
import socket
import tempfile
import threading
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from queue import Queue
from typing import TYPE_CHECKING, Any

from compat.page.build import page_files
from compat.page.screens import Screens, warm

if TYPE_CHECKING:
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import Response

HOST = "127.0.0.1"
LARGEST_BYTES = 200_000_000
TYPES = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
# Nothing of the worker's: here Python runs in the program.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cache-control": "no-store",
}


class Answerer:
    """The screens in a process of their own, which can be stopped in the middle of an answer."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._turn = threading.Lock()
        self._begin()

    def _begin(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._ours, theirs = context.Pipe()
        self._process = context.Process(target=_answering, args=(theirs, str(self.folder)), daemon=True)
        self._process.start()
        theirs.close()

    def lines(self, action: str, asked: dict[str, Any]) -> Iterator[str]:
        """What goes on, and at last the answer, each as a line of JSON."""
        told: Queue[dict[str, Any]] = Queue()
        # In a thread of its own: whoever asked may be gone before the answer is there.
        threading.Thread(target=self._answer, args=(action, asked, told.put), daemon=True).start()
        while True:
            one = told.get()
            yield json.dumps(one) + "\n"
            if "answer" in one:
                return

    def _answer(self, action: str, asked: dict[str, Any], tell: Callable[[dict[str, Any]], None]) -> None:
        with self._turn:
            try:
                self._ours.send((action, asked))
                one: dict[str, Any] = {}
                while "answer" not in one:
                    one = self._ours.recv()
                    tell(one)
            except (EOFError, OSError):
                self._begin()
                tell({"answer": {"stopped": True}})

    def stop(self) -> None:
        """End what is being answered; the files that were given stay."""
        if self._turn.locked():
            self._process.kill()

    def close(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.join()


def _answering(connection: Connection, folder: str) -> None:
    """The process: a question in, what goes on and the answer out."""
    tell: Callable[[str], None] = lambda text: connection.send({"tell": text})  # noqa: E731
    warm()
    screens = Screens(Path(folder), tell)
    while True:
        try:
            action, asked = connection.recv()
        except (EOFError, KeyboardInterrupt):
            return
        try:
            answer = screens.answer(action, asked)
        except Exception as error:
            what = " ".join(f"{type(error).__name__} {error}".split())[:300]
            answer = {"faults": [f"The program has a fault of its own and gives no answer: {what}"]}
        connection.send({"answer": answer})


def application(folder: Path, token: str, answerer: Answerer) -> Starlette:
    """The page and its answers below the token; anything else is not found."""
    from starlette.applications import Starlette
    from starlette.middleware import Middleware
    from starlette.middleware.trustedhost import TrustedHostMiddleware
    from starlette.responses import JSONResponse, PlainTextResponse, StreamingResponse
    from starlette.responses import Response as Answer
    from starlette.routing import Mount, Route

    files = page_files("server")
    given = Screens(folder)

    async def file(request: Request) -> Response:
        name = request.path_params.get("name") or "index.html"
        if name not in files:
            return PlainTextResponse("not found", 404, HEADERS)
        return Answer(
            files[name], headers=HEADERS, media_type=TYPES.get(Path(name).suffix, "application/json")
        )

    async def ask(request: Request) -> Response:
        if request.headers.get("content-type") != "application/json":
            return PlainTextResponse("JSON is wanted", 415, HEADERS)
        question = await request.json()
        lines = answerer.lines(str(question["action"]), question["asked"])
        return StreamingResponse(lines, headers=HEADERS, media_type="application/x-ndjson")

    async def put(request: Request) -> Response:
        data = bytearray()
        async for part in request.stream():
            data += part
            if len(data) > LARGEST_BYTES:
                return PlainTextResponse("the file is too large", 413, HEADERS)
        path = given.put(request.query_params["place"], request.query_params["name"], bytes(data))
        return JSONResponse({"path": path}, headers=HEADERS)

    async def stop(request: Request) -> Response:
        answerer.stop()
        return JSONResponse({}, headers=HEADERS)

    routes = [
        Route("/ask", ask, methods=["POST"]),
        Route("/put", put, methods=["POST"]),
        Route("/stop", stop, methods=["POST"]),
        Route("/", file),
        Route("/{name}", file),
    ]
    hosts = Middleware(TrustedHostMiddleware, allowed_hosts=[HOST])
    return Starlette(routes=[Mount(f"/{token}", routes=routes)], middleware=[hosts])


def serve(port: int, opened: Callable[[str], None]) -> None:
    """Serve until the user stops it; ``opened`` is given the address. Raises OSError for a used port."""
    import uvicorn

    token = secrets.token_urlsafe(24)
    with socket.socket() as listening, tempfile.TemporaryDirectory() as folder:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()  # whoever opens the address before the server is up waits
        answerer = Answerer(Path(folder))
        try:
            app = application(Path(folder), token, answerer)
            opened(f"http://{HOST}:{listening.getsockname()[1]}/{token}/")
            config = uvicorn.Config(app, log_level="critical", access_log=False, server_header=False)
            uvicorn.Server(config).run([listening])
        except KeyboardInterrupt:
            pass
        finally:
            answerer.close()
