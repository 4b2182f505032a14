"""What the tests of this folder share."""

from __future__ import annotations

import pytest

from compat.model.vocabulary import Vocabulary, read_vocabulary
from tests.conftest import ROOT


@pytest.fixture(scope="session")
def vocabulary() -> Vocabulary:
    return read_vocabulary(ROOT / "datasets" / "vocabulary")
