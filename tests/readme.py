"""The example in the README, taken from the program itself.

``python -m tests.readme`` writes it anew, ``--check`` fails when it is out of date.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
START = "<!-- example: compat check datasets/demo/house.xlsx -->\n"
END = "<!-- end of example -->\n"
SHOWN_LINES = 40


def example() -> str:
    """The first lines of the demo report as the README shows them."""
    program = "from compat.cli.app import run; run()"
    command = [sys.executable, "-c", program, "check", "datasets/demo/house.xlsx"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1, done.stderr
    lines = done.stdout.splitlines()[:SHOWN_LINES]
    return "".join(f"    {line}".rstrip() + "\n" for line in [*lines, "..."])


def updated() -> str:
    """The README with the example as it is now."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(START, 1)
    _, after = rest.split(END, 1)
    return f"{before}{START}\n{example()}\n{END}{after}"


def main() -> int:
    """Write or check; the exit code is 1 when the README is out of date."""
    text = updated()
    if "--check" not in sys.argv:
        README.write_text(text, encoding="utf-8")
        return 0
    if text != README.read_text(encoding="utf-8"):
        sys.stderr.write("README.md is out of date. Run: python -m tests.readme\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
