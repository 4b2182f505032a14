"""A wheel built of this source tree brings the dataset stored, and what is installed of it uses that."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder  # type: ignore[import-untyped]

from compat.dataset.read import load_dataset
from compat.rulebook.dataset_cache import PREBUILT, SWITCH
from tests.conftest import ROOT

# Loads the dataset as the commands do, and says how often its files were read, and what was loaded.
LOADING = """
import json
from compat.dataset.read import data_root
from compat.rulebook import dataset_cache

reads, load_dataset = [], dataset_cache.load_dataset
dataset_cache.load_dataset = lambda root: (reads.append(str(root)), load_dataset(root))[1]
found = dataset_cache.load_cached(data_root())
print(json.dumps([str(data_root()), len(reads), found.dataset.sha256, len(found.rules)]))
"""


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder into which the wheel's files go."""
    folder = tmp_path_factory.mktemp("wheel")
    [wheel] = WheelBuilder(str(ROOT)).build(directory=str(folder), versions=["standard"])
    with zipfile.ZipFile(wheel) as files:
        files.extractall(folder / "site")
    return folder / "site"


def loaded(site: Path, tmp_path: Path) -> tuple[str, int, str, int]:
    environment = {name: value for name, value in os.environ.items() if name != SWITCH}
    environment |= {"PYTHONPATH": str(site), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    tmp_path.mkdir(exist_ok=True)
    command = [sys.executable, "-c", LOADING]
    run = subprocess.run(command, capture_output=True, text=True, env=environment, cwd=tmp_path, check=True)
    root, reads, sha256, rules = json.loads(run.stdout)
    return root, reads, sha256, rules


def test_the_stored_dataset_of_the_wheel_is_used_and_a_changed_byte_is_noticed(
    installed: Path, tmp_path: Path
) -> None:
    data = installed / "compat" / "data"
    here = load_dataset(ROOT)
    root, reads, sha256, rules = loaded(installed, tmp_path)
    assert (root, reads, sha256) == (str(data), 0, here.sha256)
    assert rules > 100
    assert not (tmp_path / "cache").exists()

    prebuilt = data / PREBUILT
    content = prebuilt.read_bytes()
    place = content.index(b"D0001")
    prebuilt.write_bytes(content[:place] + b"D0002" + content[place + 5 :])
    assert loaded(installed, tmp_path / "harmed")[1:3] == (1, here.sha256)
    prebuilt.write_bytes(content)

    table = next((data / "datasets" / "drivers").glob("*.toml"))
    table.write_bytes(table.read_bytes() + b"# one more byte\n")
    _, reads, changed, _ = loaded(installed, tmp_path / "changed")
    assert reads == 1
    assert changed != sha256
    assert loaded(installed, tmp_path / "changed")[1:3] == (0, changed)  # from the user's cache folder
