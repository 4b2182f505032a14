"""The program with its dataset and the Python parts it needs, as one archive that the page unpacks."""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from compat.dataset.read import PARTS, data_root, load_dataset
from compat.rulebook.dataset_cache import PREBUILT, key_of, load, stored_bytes

# The same bytes for the same content: ZIP knows no earlier date.
DATE = (1980, 1, 1, 0, 0, 0)
# Parts of the dataset's folder that no verdict rests on.
LEFT_OUT = ("datasets/releases/",)
# Of a wheel only what runs and what Python reads of it; its compiled files only where the page can run them.
KEPT = (".py", ".json", "METADATA", "-wasm32-emscripten.so")
DEMO = "datasets/demo/house.xlsx"


def bundle(wheels: Mapping[str, Path]) -> bytes:
    """The archive: every file below the folder that Python imports from."""
    entries = dict(_program())
    for file in wheels.values():
        entries.update(_of_wheel(file))
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(entries):
            archive.writestr(zipfile.ZipInfo(name, DATE), entries[name], zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def _program() -> Iterator[tuple[str, bytes]]:
    package, root = Path(__file__).resolve().parents[1], data_root()
    for file in sorted(package.rglob("*")):
        name = file.relative_to(package).as_posix()
        if file.is_file() and "__pycache__" not in name and not name.startswith(("data/", "page/web/")):
            yield f"compat/{name}", file.read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        for part in PARTS:
            for file in sorted((root / part).rglob("*")):
                name = file.relative_to(root).as_posix()
                if file.is_file() and not name.startswith(LEFT_OUT):
                    content = file.read_bytes()
                    copy = Path(folder) / name
                    copy.parent.mkdir(parents=True, exist_ok=True)
                    copy.write_bytes(content)
                    yield f"compat/data/{name}", content
        # The dataset parsed, under the key of the files as they lie in the archive.
        stored = stored_bytes(load(load_dataset(Path(folder))), key_of(Path(folder)))
        if stored is None:
            raise ValueError("the dataset holds a value that its stored form cannot give back")
        yield f"compat/data/{PREBUILT}", stored


def _of_wheel(file: Path) -> Iterator[tuple[str, bytes]]:
    with zipfile.ZipFile(file) as wheel:
        for name in wheel.namelist():
            if name.endswith(KEPT) and "/tests/" not in name:
                yield name, wheel.read(name)
