"""CP-SAT of OR-Tools as the solver; imported only where it is used, since it is an optional extra."""

from __future__ import annotations

import contextlib
import math
from typing import TYPE_CHECKING

from compat.plan.packing_model import Answer, LinearModel, Solver

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExprT

# Seconds of a common machine for one unit of the work that CP-SAT counts (``bench_packing.py``).
SECONDS_PER_WORK = 1.1
EXTRA = "pack"  # of the package, brings OR-Tools
FAR = 10**17  # beyond any sum of a model, and within what CP-SAT takes


class CpSat:
    """One worker, a fixed seed, and a limit of counted work instead of the clock: the same answer each run.

    Work is counted in the solver's own units, here turned into about seconds.
    """

    name = "OR-Tools CP-SAT"

    def __init__(self) -> None:
        """Raises ImportError when OR-Tools is not installed."""
        from ortools.sat.python import cp_model

        self._cp_model = cp_model

    def solve(self, model: LinearModel, work: float, *, hard: bool = False) -> Answer:
        """``hard``: several ways of search take turns; it proves more on large models, costs on small."""
        cp_model = self._cp_model
        program = cp_model.CpModel()
        variables = [program.new_int_var(0, upper, "") for upper in model.upper]
        for terms, low, high in model.rows:
            low_end, high_end = -FAR if low is None else low, FAR if high is None else high
            program.add_linear_constraint(self._sum(variables, terms), low_end, high_end)
        if model.goal:
            program.minimize(self._sum(variables, model.goal))
            for variable, value in zip(variables, model.hint, strict=True):
                program.add_hint(variable, value)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.interleave_search = hard
        solver.parameters.max_deterministic_time = work / SECONDS_PER_WORK
        status = solver.solve(program)
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return Answer(
            [solver.value(variable) for variable in variables] if found else None,
            math.ceil(solver.best_objective_bound - 1e-6) if found and model.goal else 0,
            status in (cp_model.OPTIMAL, cp_model.INFEASIBLE),
            solver.deterministic_time * SECONDS_PER_WORK,
        )

    def _sum(self, variables: list[IntVar], terms: list[tuple[int, int]]) -> LinearExprT:
        chosen = [variables[variable] for variable, _ in terms]
        return self._cp_model.LinearExpr.weighted_sum(chosen, [factor for _, factor in terms])


class LoadedWhenNeeded:
    """The solver, loaded when it is first needed, since that takes a third of a second."""

    def __init__(self) -> None:
        self.asked = False
        self._solver: Solver | None = None

    def available(self) -> bool:
        """Whether the extra is installed; loads it."""
        if not self.asked:
            self.asked = True
            with contextlib.suppress(ImportError):
                self._solver = CpSat()
        return self._solver is not None

    def solve(self, model: LinearModel, work: float, *, hard: bool) -> Answer:
        """As the solver; only when it is available."""
        if self._solver is None:
            raise RuntimeError("the solver is not loaded")
        return self._solver.solve(model, work, hard=hard)
