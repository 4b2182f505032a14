"""Where the program starts, and what an unusable input looks like to the user."""

from __future__ import annotations

import contextlib
import gc
import io
import os
import signal
import sys
from typing import NoReturn

from compat.cli.common import (
    EXIT_BAD_INPUT,
    EXIT_CUT_SHORT,
    EXIT_FINDINGS,
    EXIT_FINE,
    EXIT_PROGRAM_FAULT,
    CutShort,
)

# What the command-line library ends with when the user presses Ctrl-C.
INTERRUPTED = 130


def main() -> NoReturn:
    """Entry point of the command ``compat``: as :func:`run`, and then the process ends at once.

    Clearing away what a run has built takes a tenth of its time, and the system does it anyway.
    """
    code: int | str | None = EXIT_FINE
    for ending in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, ending):
            signal.signal(getattr(signal, ending), _stop)
    try:
        run()
    except SystemExit as end:
        code = end.code
    except KeyboardInterrupt:
        code = EXIT_CUT_SHORT
    except BaseException as fault:
        code = _told(fault)
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            stream.flush()
    os._exit(code if isinstance(code, int) else EXIT_FINE if code is None else EXIT_FINDINGS)


def run() -> None:
    """The command ``compat``; ends with SystemExit."""
    from compat.model.faults import BadInput

    # A command ends soon after it has built its tables: looking for rubbish in them again and again
    # takes a tenth of the time of a short run.
    gc.set_threshold(200_000)

    _prepare_streams()
    try:
        match sys.argv[1:]:
            case ["lookup", driver] if not driver.startswith("-"):
                # Without an option there is nothing to parse, and the library that parses takes longer
                # to load than the look-up itself.
                from compat.api import lookup, lookup_output
                from compat.cli.common import give, in_colour, screen_width

                found = lookup_output(driver) if driver[:1] in "Oo" else None
                give((found or lookup(driver)).to_text(screen_width(), in_colour()), None)
                sys.exit(EXIT_FINE)
            case arguments:
                from compat.cli.program import named_command, program

                program(*named_command(arguments))()
    except BadInput as error:
        _end(EXIT_BAD_INPUT, *(fault.sentence() for fault in error.faults))
    except OSError as error:
        if error.filename is None:
            _end(_told(error))
        _end(EXIT_BAD_INPUT, f"{error.filename}: {error.strerror or error}.")
    except CutShort:
        _end(EXIT_CUT_SHORT)
    except KeyboardInterrupt:
        _end(EXIT_CUT_SHORT, "stopped")
    except SystemExit as end:
        if end.code == INTERRUPTED:
            _end(EXIT_CUT_SHORT, "stopped")
        raise
    except Exception as fault:
        _end(_told(fault))


def _stop(*_: object) -> NoReturn:
    """Asked to end, as with Ctrl-C: what is half written is taken away."""
    raise KeyboardInterrupt


def _told(fault: BaseException) -> int:
    """Say a fault of the program itself in one sentence, or with COMPAT_TRACE=1 whole; the exit code."""
    import traceback

    with contextlib.suppress(OSError, ValueError, MemoryError):
        if os.environ.get("COMPAT_TRACE"):
            traceback.print_exception(fault)
        steps = traceback.extract_tb(fault.__traceback__)
        where = f" in {os.path.basename(steps[-1].filename)}, line {steps[-1].lineno}" if steps else ""  # noqa: PTH119
        what = " ".join(f"{type(fault).__name__} {fault}".split())[:300]
        sys.stderr.write(
            f"compat has a fault of its own ({what}{where}) and gives no answer; please report it to those "
            "who gave you the program, with the command, its files and what COMPAT_TRACE=1 adds.\n"
        )
        sys.stderr.flush()
    return EXIT_PROGRAM_FAULT


def _prepare_streams() -> None:
    """Off a terminal the output is UTF-8 with plain line ends, so that its bytes are the same everywhere."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever started us
            setattr(sys, name, io.StringIO())
        elif isinstance(stream, io.TextIOWrapper) and stream.isatty():
            stream.reconfigure(errors="replace")
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace", newline="\n")


def _end(code: int, *lines: str) -> NoReturn:
    """Say the lines on the error stream and end; what is left of the output has nowhere to go."""
    with contextlib.suppress(OSError):
        sys.stderr.writelines(f"{line}\n" for line in lines)
        sys.stderr.flush()
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(code)
