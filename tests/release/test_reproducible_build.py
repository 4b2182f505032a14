"""The identifier that DuckDB gives at random is put in order, and only in files laid out as known."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pytest

from compat.release.database import HEADER_BYTES, UnknownLayout, with_identifier

FIRST, SECOND = bytes(range(16)), bytes(16)


@pytest.fixture
def file(tmp_path: Path) -> bytes:
    with duckdb.connect(tmp_path / "some.duckdb") as connection:
        connection.execute("CREATE TABLE one AS SELECT 42 AS answer")
    return (tmp_path / "some.duckdb").read_bytes()


def test_duckdb_reads_the_file_with_the_new_identifier(file: bytes, tmp_path: Path) -> None:
    """DuckDB checks the sum of the header itself, so a wrong one would be refused."""
    (tmp_path / "other.duckdb").write_bytes(with_identifier(file, FIRST))
    with duckdb.connect(tmp_path / "other.duckdb", read_only=True) as connection:
        assert connection.execute("SELECT answer FROM one").fetchall() == [(42,)]


def test_a_header_with_a_wrong_sum_is_refused_by_duckdb(file: bytes, tmp_path: Path) -> None:
    changed = bytearray(with_identifier(file, FIRST))
    changed[130] ^= 1
    (tmp_path / "other.duckdb").write_bytes(changed)
    with pytest.raises(duckdb.Error, match="checksum"):
        duckdb.connect(tmp_path / "other.duckdb", read_only=True)


def test_only_the_identifier_and_the_sum_change(file: bytes) -> None:
    made = with_identifier(file, FIRST)
    changed = {place for place in range(len(file)) if made[place] != file[place]}
    assert changed <= {*range(8), *range(124, 140)}
    assert with_identifier(made, SECOND) == with_identifier(file, SECOND)


@pytest.mark.parametrize(("place", "told"), [(8, "no DuckDB file"), (200, "checksum of another kind")])
def test_a_file_of_another_layout_is_refused(file: bytes, place: int, told: str) -> None:
    changed = bytearray(file)
    changed[place] ^= 1
    with pytest.raises(UnknownLayout, match=told):
        with_identifier(bytes(changed), FIRST)
    with pytest.raises(UnknownLayout, match="no DuckDB file"):
        with_identifier(file[: HEADER_BYTES - 1], FIRST)


def test_an_identifier_of_another_length_is_refused(file: bytes) -> None:
    with pytest.raises(ValueError, match="16 bytes, not 4"):
        with_identifier(file, b"four")
