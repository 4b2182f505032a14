"""A progress bar for the packing: on a terminal only, and only when it takes longer than two seconds."""

from __future__ import annotations

import time
from collections.abc import Callable
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeElapsedColumn

from compat.plan.packing_types import Progress as PackProgress

SHOWN_AFTER_S = 2.0


class PackingBar:
    """``with PackingBar(console) as bar: propose(..., progress=bar)``. The bar goes away at the end."""

    def __init__(self, console: Console, clock: Callable[[], float] = time.monotonic) -> None:
        self._console = console
        self._clock = clock
        self._begun = clock()
        self._shown: tuple[Progress, TaskID] | None = None

    def __call__(self, progress: PackProgress) -> None:
        if not self._console.is_terminal:
            return
        if self._shown is None and self._clock() - self._begun >= SHOWN_AFTER_S:
            columns = (TextColumn("Packing circuits on lines"), BarColumn(), TimeElapsedColumn())
            bar = Progress(*columns, console=self._console, transient=True)
            self._shown = (bar, bar.add_task("", total=1.0))
            bar.start()
        if self._shown is not None:
            bar, task = self._shown
            bar.update(task, completed=progress.share)

    def __enter__(self) -> PackingBar:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._shown is not None:
            self._shown[0].stop()
