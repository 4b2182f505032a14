"""Sizes of the demo's report in each format, its lines and sheets; in a browser also axe and widths.

``python -m tests.bench.bench_pages [--browser] [--picture FILE.png]``. The browser takes Chromium, Node.js
and the npm packages playwright-core and axe-core on NODE_PATH. The picture is that of the README.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import compat

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "datasets" / "demo" / "house.xlsx"
LOOKED_UP = "D0002"
# What may be at most: bytes of the page and of the JSON, lines of the text, sheets of A4.
PAGE_BYTES, JSON_BYTES, TEXT_LINES, SHEETS = 600_000, 1_000_000, 60, 15


def in_browser(page: Path, picture: str = "") -> list[dict[str, object]]:
    """What the browser says of a page at each width and colour."""
    script = Path(__file__).with_name("pages.cjs")
    command = ["node", str(script), str(page), *([picture] if picture else [])]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


def main() -> int:
    """Print every figure; the exit code is 1 where one is above what it may be."""
    picture = sys.argv[sys.argv.index("--picture") + 1] if "--picture" in sys.argv else ""
    result = compat.check(DEMO)
    page, pdf = result.to_html(), result.to_pdf()
    sheets = max(int(count) for count in re.findall(rb"/Count (\d+)", pdf))
    figures = [
        ("page, bytes", len(page.encode()), PAGE_BYTES),
        ("JSON, bytes", len(result.to_json(False).encode()), JSON_BYTES),
        ("text, lines", len(result.to_text(100).splitlines()), TEXT_LINES),
        ("PDF, sheets", sheets, SHEETS),
    ]
    looked_up = compat.lookup(LOOKED_UP).to_html()
    if picture or "--browser" in sys.argv:
        with tempfile.TemporaryDirectory() as folder:
            for name, text, taken in (("check", page, picture), ("lookup", looked_up, "")):
                place = Path(folder) / f"{name}.html"
                place.write_text(text, encoding="utf-8")
                for told in in_browser(place, taken):
                    where = f"{name}, {told['width']} px, {told['colorScheme']}"
                    faults = told["faults"]
                    assert isinstance(faults, list)
                    figures.append((f"{where}: faults by axe", len(faults), 0))
                    figures.append((f"{where}: wider than the screen", int(bool(told["overflows"])), 0))
                    if told["sheets"]:
                        figures.append((f"{name}, printed sheets", int(str(told["sheets"])), SHEETS))
    for name, figure, most in figures:
        sys.stdout.write(f"{name}: {figure} (at most {most})\n")
    return int(any(figure > most for _, figure, most in figures))


if __name__ == "__main__":
    sys.exit(main())
