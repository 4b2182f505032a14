"""What the screens of the page ask, and the answers: plain data in, plain data out.

The same code answers in the browser and on this machine. Files that the person gives lie in one folder,
which is one of memory in the browser.
"""

from __future__ import annotations

import base64
import gc
import importlib
import importlib.util
import shutil
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from compat import __version__, api
from compat.dataset.read import data_root
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.page import fields
from compat.page.body import body_of
from compat.report.words import circuits_text
from compat.rulebook.dataset_cache import hold, load_cached

if importlib.util.find_spec("rpds") is None:
    # What is compiled for a machine is not there in a browser.
    from compat.page import persistent

    sys.modules["rpds"] = persistent

DEMO = "datasets/demo/house.xlsx"
LONGEST_NAME = 120
FORMS = {
    "xlsx": "-checked.xlsx",
    "json": ".json",
    "html": ".html",
    "questions": "-questions.xlsx",
    "pdf": ".pdf",
}
MOST_FOUND = 60
Tell = Callable[[str], None]
Asked = Mapping[str, Any]


def warm() -> None:
    """Load what every screen needs, so that the first answer is quick."""
    hold(data_root())
    body_of(api.lookup(stated={"--watts": "12", "--method": "trailing edge"}, count=1).to_html())
    for module in ("engine.check", "intake.read", "intake.answers", "report.html"):
        importlib.import_module(f"compat.{module}")
    # What is loaded stays: looking for rubbish in it again and again takes much of a short answer.
    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000)


class Screens:
    """The answers of all screens, over one folder of files; ``tell`` is called with what goes on."""

    def __init__(self, folder: Path, tell: Tell = lambda text: None) -> None:
        self.folder = folder
        self.tell = tell
        self._last: api.CheckResult | None = None
        self._asked: Asked = {}
        self._circuits = 0

    def put(self, place: str, name: str, data: bytes) -> str:
        """Keep a file under its own name in a place such as ``schedule``; its path from the folder."""
        safe = "".join(c if c.isprintable() and c not in "/\\:" else "_" for c in name)[-LONGEST_NAME:]
        path = self.folder / _word(place) / (safe.lstrip(".") or "file")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        return path.relative_to(self.folder).as_posix()

    def answer(self, action: str, asked: Asked) -> dict[str, Any]:
        """The answer of an action; one that cannot be given is its sentences under ``faults``."""
        actions = {
            "start": self.start, "lookup": self.lookup, "output": self.output, "find": self.find,
            "rule": self.rule, "demo": self.demo, "template": self.template, "reading": self.reading,
            "check": self.check, "since": self.since, "save": self.save, "forget": self.forget,
        }  # fmt: skip
        try:
            return actions[action](asked)
        except BadInput as error:
            return {"faults": [fault.sentence() for fault in error.faults]}
        except MemoryError:
            return {"faults": ["There is not enough memory here for this file. Split it, or use a computer."]}

    def start(self, asked: Asked) -> dict[str, Any]:
        """What the page shows before anything is asked: the fields, and the editions."""
        known = load_cached(data_root()).dataset
        return {
            "program": __version__,
            "dataset": known.version,
            "fields": [asdict(field) for field in fields.LABEL],
            "outputs": [asdict(entry) for entry in api.list_entries("outputs")],
            "pdf": importlib.util.find_spec("typst") is not None,
        }

    def lookup(self, asked: Asked) -> dict[str, Any]:
        """One driver by its label; ``output`` puts what is to hand first."""
        stated = {name: text for name, text in asked["stated"].items() if text.strip()}
        driver, count = asked.get("driver") or None, asked.get("count") or None
        try:
            found = api.lookup(driver, stated=stated, count=count, **self._own(asked))
        except BadInput as error:
            raise BadInput([fields.by_label(fault) for fault in error.faults]) from error
        found = replace(found, answer=fields.named_by_label(found.answer))
        to_hand = asked.get("to_hand")
        first = next((one for one in found.answer.outputs if one.output == to_hand), None)
        return {
            "html": body_of(found.to_html()),
            "to_hand": None if first is None else fields.told_of(first),
            "name": found.answer.driver_name,
        }

    def output(self, asked: Asked) -> dict[str, Any]:
        """One output by its id."""
        found = api.lookup_output(asked["output"], **self._own(asked))
        if found is None:
            raise BadInput([Fault(f"there is no output '{asked['output']}'", Origin("outputs"))])
        return {"html": fields.output_html(found.answer), "name": found.answer.output_name}

    def find(self, asked: Asked) -> dict[str, Any]:
        """Entries of a kind by words."""
        found = api.list_entries(asked["kind"], asked["words"].split())
        return {"found": [asdict(entry) for entry in found[:MOST_FOUND]], "count": len(found)}

    def rule(self, asked: Asked) -> dict[str, Any]:
        """A rule with its formula, sources and cases."""
        return {"text": api.explain(asked["rule"]).to_text(76)}

    def demo(self, asked: Asked) -> dict[str, Any]:
        """The invented demo house as if the person had given it."""
        root = data_root()
        files = [root / DEMO, (root / DEMO).with_suffix(".toml")]
        put = [self.put("schedule", file.name, file.read_bytes()) for file in files]
        return {"file": put[0], "name": files[0].name}

    def template(self, asked: Asked) -> dict[str, Any]:
        """An empty schedule to fill in."""
        from compat.intake.template import write_template

        known = load_cached(data_root()).dataset
        path = self.folder / "schedule.xlsx"
        tables = known.tables
        ids = list(tables["drivers"]), list(tables["outputs"])
        write_template(path, "xlsx", known.vocabulary, *ids, api.project_lists(known))
        return _file(path.name, path.read_bytes())

    def reading(self, asked: Asked) -> dict[str, Any]:
        """What was read of a schedule, and what each heading may be."""
        self.tell("reading")
        path, inputs = self._path(asked["file"]), api.Inputs(**self._own(asked))
        judge, read = api.open_schedule(path, inputs, map=self._map(asked))
        self._circuits = len({row.circuit for row in read.rows})
        return fields.reading_of(read, judge.dataset.vocabulary)

    def check(self, asked: Asked) -> dict[str, Any]:
        """Judge a schedule, which was read before, with the answers given so far."""
        self.tell(f"judging {circuits_text(self._circuits)}" if self._circuits else "judging")
        self._last, self._asked = self._checked(asked), asked
        self.tell("writing the report")
        report = self._last.report
        return {
            "html": body_of(self._last.to_html()),
            "questions": fields.questions_of(report, load_cached(data_root()).dataset.vocabulary),
            "states": fields.states_of(report),
        }

    def since(self, asked: Asked) -> dict[str, Any]:
        """What became of every circuit since an earlier schedule or an earlier report in JSON."""
        last = self._again(asked)
        earlier = self._path(asked["earlier"])
        if earlier.suffix.lower() != ".json":
            self.tell("judging the earlier file")
            judged = api.check(earlier, **self._own(asked))
            earlier = earlier.with_name(earlier.name + ".json")
            earlier.write_text(judged.to_json(details=False), encoding="utf-8")
        return {"text": last.since(earlier, 76).replace(".json", "", 1) if earlier else ""}

    def save(self, asked: Asked) -> dict[str, Any]:
        """The check as a file in one of the forms."""
        form, last = asked["form"], self._again(asked)
        written = getattr(last, f"to_{form}")()
        stem = Path(asked["file"]).stem
        return _file(stem + FORMS[form], written.encode() if isinstance(written, str) else written)

    def forget(self, asked: Asked) -> dict[str, Any]:
        """Take away every file that was given."""
        self._last = None
        for path in list(self.folder.iterdir()):
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        return {}

    def _again(self, asked: Asked) -> api.CheckResult:
        """The check last made, made anew where it was of another file or with other answers."""
        names = ("file", "map", "answers", "outputs", "drivers", "project")
        if self._last is None or any(self._asked.get(name) != asked.get(name) for name in names):
            self._last, self._asked = self._checked(asked), asked
        return self._last

    def _checked(self, asked: Asked) -> api.CheckResult:
        answers = asked.get("answers") or []
        path = None
        if answers:
            name = self.put("answers", "answers.csv", fields.answers_csv(answers))
            path = self.folder / name
        return api.check(self._path(asked["file"]), map=self._map(asked), answers=path, **self._own(asked))

    def _map(self, asked: Asked) -> Path | None:
        """The headings that the person has mended, as a map file."""
        mended = asked.get("map") or {}
        if not mended:
            return None
        return self.folder / self.put("map", "headings.toml", fields.map_toml(mended))

    def _own(self, asked: Asked) -> dict[str, Any]:
        """The person's own lists and project file, where they gave some."""
        return {
            name: self._path(asked[name]) for name in ("drivers", "outputs", "project") if asked.get(name)
        }

    def _path(self, name: str) -> Path:
        """A file by the path that ``put`` gave; nothing outside the folder. Raises BadInput."""
        path = self.folder / name
        if ".." in Path(name).parts or Path(name).is_absolute() or not path.is_file():
            raise BadInput(
                [Fault("this file is no longer here", Origin(Path(name).name), do="Give it again")]
            )
        return path


def _word(text: str) -> str:
    return "".join(c for c in text if c.isalpha() and c.isascii()) or "files"


def _file(name: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "data": base64.b64encode(data).decode()}
