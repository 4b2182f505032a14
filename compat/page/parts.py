"""The parts that the page is built of besides this program: pinned in ``parts.toml``, kept in a cache.

The ordinary package clients fetch them, npm and pip, from where the user's settings point.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import tomli

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.rulebook.dataset_cache import cache_file

SECONDS = 600


@dataclass(frozen=True, slots=True)
class Part:
    """A package by its name, version and the sum of its file: ``sum`` is in hexadecimal digits."""

    package: str
    version: str
    kind: str
    sum: str

    def fits(self, file: Path) -> bool:
        """Whether a file is this part, byte for byte."""
        return hashlib.new(self.kind, file.read_bytes()).hexdigest() == self.sum


@dataclass(frozen=True, slots=True)
class Pinned:
    """All parts, and for which Python and platforms the wheels are."""

    interpreter: Part
    wheels: tuple[Part, ...]
    python: str
    platforms: tuple[str, ...]


def pinned() -> Pinned:
    """What ``parts.toml`` pins."""
    data = tomli.loads((files("compat.page") / "parts.toml").read_text(encoding="utf-8"))
    one = data["interpreter"]
    return Pinned(
        Part(one["package"], one["version"], "sha512", one["sha512"]),
        tuple(Part(w["package"], w["version"], "sha256", w["sha256"]) for w in data["wheel"]),
        one["python"],
        tuple(one["platforms"]),
    )


def parts_folder() -> Path:
    """Where the parts are kept for this user. Raises BadInput where there is no place for them."""
    beside = cache_file(Path())
    if beside is None:
        raise BadInput(
            [Fault("there is no cache folder", Origin("--parts"), do="Name a folder with --parts")]
        )
    return beside.parent / "page-parts"


def fetched(cache: Path) -> dict[str, Path]:
    """The file of every part by its package, fetched where the cache does not have it. Raises BadInput."""
    wanted = pinned()
    cache.mkdir(parents=True, exist_ok=True)
    found = _found(cache, (wanted.interpreter, *wanted.wheels))
    if wanted.interpreter.package not in found:
        _run(_npm(wanted.interpreter), cache)
    if missing := [part for part in wanted.wheels if part.package not in found]:
        with tempfile.TemporaryDirectory() as folder:
            listed = Path(folder) / "parts.txt"
            listed.write_text("".join(f"{p.package}=={p.version} --hash=sha256:{p.sum}\n" for p in missing))
            _run(_pip(wanted, listed), cache)
    found = _found(cache, (wanted.interpreter, *wanted.wheels))
    for part in (wanted.interpreter, *wanted.wheels):
        if part.package not in found:
            what = f"{part.package} {part.version} is not the file that the page is made for"
            raise BadInput([Fault(what, Origin(str(cache)), f"{part.kind} {part.sum}", _by_hand(cache))])
    return found


def _found(cache: Path, parts: Sequence[Part]) -> dict[str, Path]:
    """The parts that the cache has."""
    names = {part.package: part for part in parts}
    found = {}
    for file in sorted(cache.iterdir()):
        part = names.get(file.name.split("-")[0].lower())
        if part is not None and file.suffix in (".whl", ".tgz") and part.fits(file):
            found[part.package] = file
    return found


def _npm(part: Part) -> list[str]:
    return ["npm", "pack", "--silent", f"{part.package}@{part.version}"]


def _pip(wanted: Pinned, listed: Path) -> list[str]:
    tag = f"cp{wanted.python.replace('.', '')}"
    platforms = [word for platform in wanted.platforms for word in ("--platform", platform)]
    versions = ["--python-version", wanted.python, "--implementation", "cp", "--abi", tag, "--abi", "none"]
    options = ["--quiet", "--no-deps", "--only-binary", ":all:", "--require-hashes", "-r", str(listed)]
    return [sys.executable, "-m", "pip", "download", *options, *platforms, *versions]


def _run(command: list[str], folder: Path) -> None:
    """Run a package client in a folder. Raises BadInput that says what to fetch and how."""
    name = "npm" if command[0] == "npm" else "pip"
    where = shutil.which(command[0])
    told = "it is not installed"
    if where is not None:
        try:
            done = subprocess.run([where, *command[1:]], cwd=folder, capture_output=True, timeout=SECONDS)
        except (OSError, subprocess.TimeoutExpired) as error:
            told = " ".join(str(error).split())[:200]
        else:
            if done.returncode == 0:
                return
            told = (next(_faults(done.stderr.decode(errors="replace")), "") or "it gave no reason")[:300]
    raise BadInput(
        [Fault(f"{name} could not fetch parts of the page: {told}", Origin(name), do=_by_hand(folder))]
    )


def _faults(text: str) -> Iterator[str]:
    for line in reversed(text.splitlines()):
        if line.strip() and not line.startswith("WARNING"):
            yield line.strip().rstrip(".")


def _by_hand(cache: Path) -> str:
    wanted = pinned()
    names = ", ".join(f"{part.package} {part.version}" for part in wanted.wheels)
    return (
        f"Put into {cache}: the npm package {wanted.interpreter.package} {wanted.interpreter.version}, and "
        f"for Python {wanted.python} and the first of the platforms that has them ("
        f"{', '.join(wanted.platforms)}) the "
        f"wheels of {names}"
    )
