"""The one-line diagram of a plan: panels, modules, control lines and circuits, as SVG or as DXF.

The symbols are plain boxes and lines of our own, copied from no standard. Both forms are drawn from one
list of shapes in millimetres, the first quadrant down and to the right.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from compat.model.faults import BadInput, Fault
from compat.model.plan import CircuitPlace, ModuleUse, Plan
from compat.model.values import Origin
from compat.report.words import clean, method_text

ROW, MODULE_X, CIRCUIT_X, WIDTH = 6.0, 40.0, 155.0, 297.0
MODULE_WIDTH = 84.0
TOP, TEXT, LONGEST = 14.0, 3.0, 62


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with its upper left corner."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float


@dataclass(frozen=True, slots=True)
class Label:
    """A text from its lower left corner."""

    x: float
    y: float
    text: str
    bold: bool = False


Shape = Box | Stroke | Label


def shapes_of(plan: Plan) -> tuple[list[Shape], float]:
    """The shapes, and the height of the drawing in millimetres."""
    shapes: list[Shape] = [Label(10, 8, clean(f"{plan.schedule}: {plan.system_name}"), True)]
    on: dict[str, list[CircuitPlace]] = {}
    for circuit in plan.circuits:
        on.setdefault(circuit.module, []).append(circuit)
    y = TOP
    panels = dict.fromkeys(module.panel for module in plan.modules)
    for panel in panels:
        start = y
        bus = MODULE_X - 8
        modules = [module for module in plan.modules if module.panel == panel]
        feeds: list[float] = []
        for module in modules:
            drawn = list(_module(module, on.get(module.module, []), y))
            feeds.append(y + ROW / 2)
            shapes += [Stroke(bus, feeds[-1], MODULE_X, feeds[-1]), *drawn]
            y += ROW * max(1, len(on.get(module.module, []))) + 3
        shapes += [
            Box(8, start, 20, max(ROW, y - start - 3)),
            Label(9, start + 4, clean(panel or "in boxes")[:12], True),
            Stroke(28, feeds[0], bus, feeds[0]),
            Stroke(bus, feeds[0], bus, feeds[-1]),
        ]
        y += 6
    return shapes, y


def _module(module: ModuleUse, circuits: list[CircuitPlace], y: float) -> Iterator[Shape]:
    height = ROW * max(1, len(circuits))
    yield Box(MODULE_X, y, MODULE_WIDTH, height)
    phase = f" {module.phase}" if module.phase else ""
    yield Label(MODULE_X + 1.5, y + 4, clean(f"{module.module}{phase}: {module.name}")[:42])
    for row, circuit in enumerate(sorted(circuits, key=lambda one: (one.output_number, one.circuit))):
        at = y + ROW * row + ROW / 2
        yield Stroke(MODULE_X + MODULE_WIDTH, at, CIRCUIT_X, at)
        name = f"line {circuit.line}, " if circuit.line else ""
        yield Label(
            MODULE_X + MODULE_WIDTH + 2,
            at - 0.8,
            clean(f"{circuit.output_number} {name}{method_text(circuit.method)}"),
        )
        lights = ", ".join(circuit.luminaires)
        yield Label(CIRCUIT_X + 2, at + 1, clean(f"{circuit.circuit} {circuit.room}: {lights}")[:LONGEST])


def render_plan_svg(plan: Plan) -> str:
    """The diagram as one SVG that needs nothing else."""
    shapes, height = shapes_of(plan)
    drawn = "\n".join(map(_svg, shapes))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH:g}mm" height="{height:g}mm" '
        f'viewBox="0 0 {WIDTH:g} {height:g}" role="img">\n'
        f"<title>One-line diagram of {escape(clean(plan.schedule))}</title>\n"
        f'<g fill="none" stroke="#222" stroke-width="0.3" font-family="sans-serif" font-size="{TEXT:g}">\n'
        f"{drawn}\n</g>\n</svg>\n"
    )


def _svg(shape: Shape) -> str:
    match shape:
        case Box():
            return (
                f'<rect x="{shape.x:g}" y="{shape.y:g}" width="{shape.width:g}" height="{shape.height:g}"/>'
            )
        case Stroke():
            return f'<line x1="{shape.x:g}" y1="{shape.y:g}" x2="{shape.to_x:g}" y2="{shape.to_y:g}"/>'
        case Label():
            weight = ' font-weight="bold"' if shape.bold else ""
            at = f'x="{shape.x:g}" y="{shape.y:g}"'
            return f'<text {at} fill="#111" stroke="none"{weight}>{escape(shape.text)}</text>'


def render_plan_dxf(plan: Plan) -> str:
    """The diagram as DXF (R2010), in millimetres. Raises BadInput where ezdxf is missing."""
    try:
        from ezdxf._options import options
        from ezdxf.filemanagement import new
    except ImportError as error:
        do = "Install it: pip install 'lighting-control-compat[dxf]'"
        what = "the format dxf needs the library ezdxf, which is not installed"
        raise BadInput([Fault(what, Origin("--format"), do=do)]) from error
    # Dates and identifiers that are made anew in each run would make two files of one plan differ.
    options.write_fixed_meta_data_for_testing = True
    document = new("R2010", units=4)
    space = document.modelspace()
    for shape in shapes_of(plan)[0]:
        match shape:
            case Box():
                right, low = shape.x + shape.width, -shape.y - shape.height
                corners = [(shape.x, -shape.y), (right, -shape.y), (right, low), (shape.x, low)]
                space.add_lwpolyline(corners, close=True)
            case Stroke():
                space.add_line((shape.x, -shape.y), (shape.to_x, -shape.to_y))
            case Label():
                space.add_text(shape.text, height=TEXT * 0.7).set_placement((shape.x, -shape.y))
    out = io.StringIO()
    document.write(out)
    return out.getvalue()
