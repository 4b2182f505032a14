"""Every database the program opens is cut off from files, the network and its own settings."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from pathlib import Path

import duckdb
import polars as pl
import pytest

from compat.engine import database
from compat.engine.database import locked_connection, locked_writer
from tests.cli.parts import called
from tests.conftest import ROOT

SECRET = "the content of a file that is nobody's business"
ATTEMPTS = [
    "SELECT * FROM read_csv('{file}')",
    "SELECT * FROM read_csv_auto('{file}')",
    "SELECT content FROM read_text('{file}')",
    "SELECT content FROM read_blob('{file}')",
    "SELECT * FROM read_json('{file}')",
    "SELECT * FROM read_parquet('{file}')",
    "SELECT * FROM '{file}'",
    "SELECT * FROM glob('{folder}/*')",
    "SELECT * FROM sniff_csv('{file}')",
    "COPY (SELECT 1) TO '{folder}/stolen.csv'",
    "COPY stuff FROM '{file}'",
    "EXPORT DATABASE '{folder}/out'",
    "IMPORT DATABASE '{folder}'",
    "ATTACH '{folder}/other.duckdb'",
    "ATTACH '{folder}/other.duckdb' AS other (READ_ONLY)",
    "INSTALL httpfs",
    "LOAD httpfs",
    "LOAD '{folder}/evil.duckdb_extension'",
    "FORCE INSTALL json",
    "SELECT * FROM read_csv('https://localhost:1/x.csv')",
    "CREATE PERSISTENT SECRET s (TYPE s3, KEY_ID 'a', SECRET 'b')",
    "CREATE TABLE copied AS SELECT * FROM read_text('{file}')",
    "CREATE OR REPLACE MACRO m() AS TABLE SELECT * FROM read_text('{file}'); FROM m()",
    "CREATE OR REPLACE VIEW v AS SELECT * FROM read_text('{file}'); FROM v",
]
SETTINGS = [
    "SET enable_external_access = true",
    "SET GLOBAL enable_external_access = true",
    "RESET enable_external_access",
    "PRAGMA enable_external_access = true",
    "SET lock_configuration = false",
    "RESET lock_configuration",
    "SET allowed_directories = ['/']",
    "SET allowed_paths = ['/etc/hosts']",
    "SET allow_unsigned_extensions = true",
    "SET autoload_known_extensions = true",
    "SET extension_directory = '{folder}'",
    "SET temp_directory = '{folder}'",
    "SET home_directory = '{folder}'",
    "SET secret_directory = '{folder}'",
    "SET memory_limit = '100GB'",
    "SET threads = 1000",
    "PRAGMA enable_profiling; SET profiling_output = '{folder}/out.json'",
    "SET log_query_path = '{folder}/log.txt'",
]


@pytest.fixture(scope="module")
def secret(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file beside a database that nobody may reach; each test finds and leaves the folder as it was."""
    outside = tmp_path_factory.mktemp("outside")
    with duckdb.connect(outside / "other.duckdb") as other:
        other.execute("CREATE TABLE t AS SELECT 1 AS a")
    (outside / "secret.csv").write_text(SECRET, encoding="utf-8")
    return outside / "secret.csv"


Opener = Callable[[Path], duckdb.DuckDBPyConnection]


def for_checks(folder: Path) -> duckdb.DuckDBPyConnection:
    return locked_connection(threads=1)


def for_parquet(folder: Path) -> duckdb.DuckDBPyConnection:
    return locked_writer(None, folder)


def for_a_release(folder: Path) -> duckdb.DuckDBPyConnection:
    return locked_writer(folder / "release.duckdb", folder)


OPENERS = [for_checks, for_parquet, for_a_release]


@pytest.fixture(scope="module", params=OPENERS, ids=lambda opener: opener.__name__)
def locked(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[duckdb.DuckDBPyConnection]:
    inside = tmp_path_factory.mktemp("it's inside")
    opener: Opener = request.param
    with opener(inside) as connection:
        connection.execute("CREATE TABLE stuff (a VARCHAR)")
        yield connection


@pytest.mark.parametrize("attempt", ATTEMPTS)
def test_what_reaches_out_is_refused(attempt: str, locked: duckdb.DuckDBPyConnection, secret: Path) -> None:
    before = sorted(secret.parent.iterdir())
    filled = attempt.format(file=secret, folder=secret.parent)
    with pytest.raises(duckdb.PermissionException) as refused:
        locked.execute(filled).fetchall()
    assert SECRET not in str(refused.value)
    assert sorted(secret.parent.iterdir()) == before


@pytest.mark.parametrize("attempt", SETTINGS)
def test_no_setting_can_be_changed(attempt: str, locked: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    with pytest.raises(duckdb.InvalidInputException, match="Cannot change configuration option"):
        locked.execute(attempt.format(folder=tmp_path)).fetchall()


def test_the_attempts_work_where_nothing_is_locked(secret: Path) -> None:
    """So that the test above can fail: an open database gives the file away."""
    with duckdb.connect() as connection:
        rows = connection.execute(f"SELECT content FROM read_text('{secret}')").fetchall()
        assert rows == [(SECRET,)]
        connection.execute(f"COPY (SELECT 1) TO '{secret.parent}/stolen.csv'")
        connection.execute("SET threads = 2")
    stolen = secret.parent / "stolen.csv"
    assert stolen.exists()
    stolen.unlink()


def test_the_settings_say_so(locked: duckdb.DuckDBPyConnection) -> None:
    wanted = {
        "enable_external_access": "false",
        "lock_configuration": "true",
        "autoload_known_extensions": "false",
        "allow_unsigned_extensions": "false",
    }
    for name, value in wanted.items():
        assert locked.execute(f"SELECT current_setting('{name}')::VARCHAR").fetchone() == (value,)


def test_variables_of_the_program_are_not_reached_by_name(locked: duckdb.DuckDBPyConnection) -> None:
    """A table name in a text finds no variable of Python, as it would in an open database."""
    held = pl.DataFrame({"a": ["not to be seen"]})
    with pytest.raises(duckdb.CatalogException, match="held does not exist"):
        locked.execute("SELECT * FROM held").fetchall()
    assert held.height == 1


def test_a_writer_writes_into_its_folder_only(tmp_path: Path, secret: Path) -> None:
    inside = tmp_path / "it's inside"
    inside.mkdir()
    with locked_writer(None, inside) as connection:
        quoted = str(inside).replace("'", "''")
        connection.execute(f"COPY (SELECT 1 AS a) TO '{quoted}/a.parquet' (FORMAT parquet)")
        with pytest.raises(duckdb.Error):
            connection.execute(f"COPY (SELECT 1 AS a) TO '{secret.parent}/a.parquet' (FORMAT parquet)")
    assert [path.name for path in inside.iterdir()] == ["a.parquet"]
    assert sorted(path.name for path in secret.parent.iterdir()) == ["other.duckdb", "secret.csv"]


def calls() -> dict[str, dict[str, list[int]]]:
    """Every call of ``something.name(...)`` in the package: the lines by name, then by file and something."""
    found: dict[str, dict[str, list[int]]] = {}
    for path in sorted((ROOT / "compat").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                owner = node.func.value
                if isinstance(owner, ast.Name):
                    place = f"{path.stem}.{owner.id}"
                    found.setdefault(node.func.attr, {}).setdefault(place, []).append(node.lineno)
    return found


def test_no_other_place_opens_a_database() -> None:
    """The two functions tried above are the only ways of the program to a database."""
    called_by_name = calls()
    opened = {place: lines for place, lines in called_by_name["connect"].items() if "duckdb" in place}
    assert set(opened) == {"database.duckdb"}
    assert len(opened["database.duckdb"]) == 2
    module = ast.parse(Path(database.__file__).read_text(encoding="utf-8"))
    opening = {
        function.name
        for function in module.body
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Attribute) and node.attr == "connect"
    }
    assert opening == {"locked_connection", "locked_writer"}
    # The module's own shortcuts use one open database that is shared and not locked.
    for shortcut in ("sql", "query", "read_csv", "read_parquet", "from_arrow"):
        assert not [place for place in called_by_name.get(shortcut, {}) if place.endswith(".duckdb")]


def trapped_database(folder: Path, secret: Path) -> Path:
    """A release file with a view and a macro that read a file when they are looked at."""
    path = folder / "lighting-control-compatibility.duckdb"
    with duckdb.connect(path) as connection:
        connection.execute(f"CREATE VIEW drivers AS SELECT * FROM read_text('{secret}')")
        connection.execute(f"CREATE MACRO rules() AS TABLE SELECT * FROM read_text('{secret}')")
    return path


@pytest.mark.parametrize(
    "command",
    [
        ("check", "{house}", "--dataset", "{file}"),
        ("check", "{file}"),
        ("check", "{house}", "--drivers", "{file}"),
        ("check", "{house}", "--outputs", "{file}"),
        ("check", "{house}", "--project", "{file}"),
        ("explain", "R0007", "--dataset", "{file}"),
        ("dataset", "check", "{file}"),
        ("dataset", "check", "--drivers", "{file}"),
        ("dataset", "show", "{file}"),
        ("dataset", "diff", "{file}", "{root}"),
    ],
)
def test_a_database_file_is_never_opened(command: tuple[str, ...], tmp_path: Path, secret: Path) -> None:
    """The program reads the files beside a release's database; a trapped one is refused unopened."""
    file = trapped_database(tmp_path, secret)
    before = file.read_bytes()
    house = ROOT / "datasets" / "demo" / "house.csv"
    found = called(*(word.format(file=file, house=house, root=ROOT) for word in command))
    assert found.code == 2
    assert SECRET not in found.out + found.err
    assert "Traceback" not in found.err
    assert file.read_bytes() == before
