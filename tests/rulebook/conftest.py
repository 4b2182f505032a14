"""A database shared by the tests of this folder."""

from __future__ import annotations

from collections.abc import Iterator

import duckdb
import pytest

from compat.engine.handover import locked_connection
from compat.model.vocabulary import Vocabulary, read_vocabulary
from tests.conftest import ROOT


@pytest.fixture(scope="session")
def vocabulary() -> Vocabulary:
    return read_vocabulary(ROOT / "datasets" / "vocabulary")


@pytest.fixture(scope="module")
def connection() -> Iterator[duckdb.DuckDBPyConnection]:
    opened = locked_connection()
    yield opened
    opened.close()
