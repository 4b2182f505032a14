"""The short answer: what to change, what is doubtful, what to ask, what to buy, and what works."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from compat.model.report import Enquiry, Question, Report
from compat.report.actions import Action, actions_of, in_sentence, open_hazards
from compat.report.lines import SOFT, STRONG, STYLE, Line, line
from compat.report.states import COLOUR, FINE, IN_DOUBT, TO_CHANGE, State, state_of

# Of a house with more to do than this, what may work as it is and what to ask are told in short.
MOST_ACTIONS = 16
MOST_ENQUIRIES, MOST_ENQUIRIES_OF_MANY = 5, 3
MOST_ASKED = 2
MOST_NAMES = 4
MOST_KINDS = 3
LOOKED = ": what would help the marginal ones is told by --details"
CHANGED = ": every change was judged, and then it works where nothing else is said"


def state_style(state: State) -> str:
    """The style of a state on a terminal."""
    return STYLE[COLOUR[state]]


def answer_lines(report: Report, details: bool = False) -> Iterator[Line]:
    """The answer to a check in sections; a section that has nothing to tell is left out."""
    to_change, in_doubt = actions_of(report, TO_CHANGE), actions_of(report, IN_DOUBT)
    in_short = not details and len(to_change) + len(in_doubt) > MOST_ACTIONS
    yield from _section("Change before you buy", to_change, CHANGED)
    if in_short:
        reasons = [replace(action, change="") for action in in_doubt]
        yield from _section("Look at these", reasons, ": what would help is told by --details")
    else:
        yield from _section("Look at these", in_doubt)
    yield from _enquiries(report, in_short)
    if not in_short:
        yield line()
    yield from _kinds(report)
    yield from _fine(report, in_short)
    yield from _open_hazards(report)


def _section(heading: str, actions: Sequence[Action], note: str = "") -> Iterator[Line]:
    if not actions:
        return
    yield line()
    yield line((heading, STRONG), (note, SOFT))
    for action in actions:
        # What is marginal works mostly; what would help it is told with the details.
        change = action.change if action.state != "marginal" else ""
        said = " ".join(filter(None, (action.reason, change, *action.cautions)))
        state = (action.state, state_style(action.state))
        yield line(state, " ", ("; ".join(action.names), STRONG), f": {said}", hang=2)


def _enquiries(report: Report, in_short: bool) -> Iterator[Line]:
    """What to ask: the questions that may still change a verdict, the most decisive enquiry first."""
    first = [entry for entry in report.enquiries if entry.first]
    if not report.enquiries:
        return
    most = MOST_ENQUIRIES_OF_MANY if in_short else MOST_ENQUIRIES
    told: dict[str, list[str]] = {}
    shown = []
    for entry in first:
        asked = asked_in_short(entry) if in_short else asked_text(entry)
        # Whom the same is asked is named together.
        if asked in told or len(told) < most:
            told.setdefault(asked, []).append(f"{about_text(entry)} ({some(entry.first)})")
            shown.append(entry)
    decided = {name for entry in shown for name in entry.decided}
    circuits = count_text(sum(circuit.verdict == "unproven" for circuit in report.circuits), "circuit")
    yield line()
    if first:
        of = f" the first {len(shown)} of {len(first)}" if len(shown) < len(first) else ""
        decide = "they decide" if of else "the answers decide"
        said = f"{of}: {decide} {len(decided)} of {circuits} unproven"
    else:
        said = f": no answer is likely to change a verdict; {circuits} still unproven"
    yield line(("Ask", STRONG), said, (" (all: --details, or --questions FILE)", SOFT))
    for number, (asked, whom) in enumerate(told.items(), 1):
        yield line(f"{number}. {', '.join(whom)}: {asked}", hang=3)


def about_text(entry: Enquiry) -> str:
    """Whom or what an enquiry is about, as the start of a sentence."""
    return entry.about[:1].upper() + entry.about[1:]


def asked_in_short(entry: Enquiry) -> str:
    """The most decisive question alone, without its limit, and how many there are besides."""
    asked = [one for one in entry.questions if one.decisive] or entry.questions
    question = asked[0].ask
    others = sum(one.label not in sent_text(asked[0]) for one in asked[1:])
    return question[: question.find("?") + 1] + (f" {others} more." if others else "")


def asked_text(entry: Enquiry) -> str:
    """The decisive questions as one sends them, or all where none is, each with what it decides."""
    asked = [one for one in entry.questions if one.decisive] or entry.questions
    told: list[str] = []
    for question in asked:
        # A sentence may ask for two values at once, such as inrush peak and width.
        if not any(question.label in before for before in told):
            told.append(sent_text(question))
    more = f" {len(told) - MOST_ASKED} more." if len(told) > MOST_ASKED else ""
    return f"{' '.join(told[:MOST_ASKED])}{more}"


def sent_text(question: Question) -> str:
    """``What current does each driver take? (up to 0.43 A each)``: without where the answer stands."""
    asked = question.ask[: question.ask.find("?") + 1] or question.ask
    return f"{asked} ({question.decides})" if question.decides else asked


def question_text(question: Question) -> str:
    """``input current (up to 0.43 A each)``."""
    return f"{question.label} ({question.decides})" if question.decides else question.label


def _kinds(report: Report) -> Iterator[Line]:
    """The fewest kinds of output that serve, each with its circuits."""
    if not report.kinds:
        return
    served = sum(len(kind.circuits) for kind in report.kinds)
    kinds = count_text(len(report.kinds), "kind") + " of output"
    serve = "serves" if len(report.kinds) == 1 else "serve"
    of = count_text(len(report.circuits), "circuit")
    named = [f"{len(kind.circuits)} x {in_sentence(kind.name, kind.output)}" for kind in report.kinds]
    # Of many kinds the most useful one is named; the others are told where there is room.
    most = MOST_KINDS if len(named) <= MOST_KINDS + 1 else 1
    yield line(("Buy", STRONG), f": {kinds} {serve} {served} of {of}: {some(named, most)}", hang=2)


def _fine(report: Report, in_short: bool) -> Iterator[Line]:
    """What works and what is expected to; in short, all that is not named above works."""
    for state in FINE:
        circuits = [circuit for circuit in report.circuits if state_of(circuit) == state]
        if circuits:
            is_rest = in_short and state == "works"
            names = "all others" if is_rest else ranges_text([circuit.circuit for circuit in circuits])
            yield line((f"{state.capitalize()} ({len(circuits)})", state_style(state)), f": {names}", hang=2)


def ranges_text(names: Sequence[str]) -> str:
    """``G01, G05 to G09``: names that count up by one are told by the first and the last."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    told = (", ".join(run) if len(run) < 3 else f"{run[0]} to {run[-1]}" for run in runs)
    return ", ".join(told)


def _follows(before: str, name: str) -> bool:
    first, second = (re.fullmatch(r"(.*?)([0-9]{1,9})", text) for text in (before, name))
    if not first or not second or len(before) != len(name):
        return False
    return first[1] == second[1] and int(first[2]) + 1 == int(second[2])


def _open_hazards(report: Report) -> Iterator[Line]:
    told = open_hazards(report)
    if told:
        said = "; ".join(f"{what} ({some(names)})" for what, names in told.items())
        yield line(("Hazard not excluded", STYLE["hazard"]), f": {said}", hang=2)


def some(names: Sequence[str], most: int = MOST_NAMES) -> str:
    """The first names, and how many more."""
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def count_text(number: int, one: str, many: str = "") -> str:
    """``1 circuit``, ``2 circuits``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
