"""Build hook of hatchling: the wheel brings the dataset parsed and stored, so that its first run is quick."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class DatasetCacheHook(BuildHookInterface[Any]):
    """Adds ``dataset-cache.jsonl`` beside the dataset inside the wheel."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Parse the dataset of this source tree. Raises BadInput when it has a fault."""
        if version == "editable":  # a checkout has its own files, which change
            return
        sys.path.insert(0, self.root)
        try:
            from compat.dataset.read import load_dataset
            from compat.rulebook.dataset_cache import PREBUILT, key_of, load, stored_bytes

            root = Path(self.root)
            data = stored_bytes(load(load_dataset(root)), key_of(root))
        finally:
            sys.path.remove(self.root)
        if data is None:
            raise ValueError("the dataset holds a value that its stored form cannot give back")
        self._folder = tempfile.TemporaryDirectory()
        file = Path(self._folder.name) / PREBUILT
        file.write_bytes(data)
        build_data["force_include"][str(file)] = f"compat/data/{PREBUILT}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Clear the temporary file away."""
        if version != "editable":
            self._folder.cleanup()
