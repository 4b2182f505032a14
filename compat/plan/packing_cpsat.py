"""CP-SAT of OR-Tools as the solver; imported only where it is used, since it is an optional extra."""

from __future__ import annotations

import math

from compat.plan.packing_model import Answer, LinearModel


class CpSat:
    """One worker, a fixed seed, and a limit of counted work instead of the clock: the same answer each run."""

    name = "OR-Tools CP-SAT"

    def __init__(self) -> None:
        """Raises ImportError when OR-Tools is not installed."""
        from ortools.sat.python import cp_model

        self._cp_model = cp_model

    def solve(self, model: LinearModel, work: float) -> Answer:
        cp_model = self._cp_model
        program = cp_model.CpModel()
        variables = [program.new_int_var(0, upper, "") for upper in model.upper]
        for terms, low, high in model.rows:
            total = cp_model.LinearExpr.weighted_sum(
                [variables[variable] for variable, _ in terms], [factor for _, factor in terms]
            )
            low_end = cp_model.INT32_MIN if low is None else low
            program.add_linear_constraint(total, low_end, cp_model.INT_MAX if high is None else high)
        program.minimize(
            cp_model.LinearExpr.weighted_sum(
                [variables[variable] for variable, _ in model.goal], [factor for _, factor in model.goal]
            )
        )
        for variable, value in zip(variables, model.hint, strict=True):
            program.add_hint(variable, value)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = work
        status = solver.solve(program)
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        values = [solver.value(variable) for variable in variables] if found else None
        proven = status == cp_model.OPTIMAL
        return Answer(
            values, math.ceil(solver.best_objective_bound - 1e-6), proven, solver.deterministic_time
        )
