# SPDX-License-Identifier: Apache-2.0
"""Will this control work with this load: an answer with a number, for house lighting circuits."""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from compat.api import CheckResult as CheckResult
    from compat.api import LookupResult as LookupResult
    from compat.api import PlanResult as PlanResult
    from compat.api import RuleExplanation as RuleExplanation
    from compat.api import check as check
    from compat.api import explain as explain
    from compat.api import load_dataset as load_dataset
    from compat.api import lookup as lookup
    from compat.api import plan as plan
    from compat.model.faults import BadInput as BadInput
    from compat.model.faults import CompatError as CompatError
    from compat.model.faults import Fault as Fault

_ERRORS = ("BadInput", "CompatError", "Fault")
_FUNCTIONS = ("check", "explain", "load_dataset", "lookup", "plan")
_RESULTS = ("CheckResult", "LookupResult", "PlanResult", "RuleExplanation")
__all__ = ["BadInput", "CheckResult", "CompatError", "Fault", "LookupResult", "PlanResult"]
__all__ += ["RuleExplanation", "check", "explain", "load_dataset", "lookup", "plan"]


def __getattr__(name: str) -> object:
    """The public names, loaded when they are first used: a command loads no more than it needs."""
    from importlib import import_module

    if name in _ERRORS:
        return getattr(import_module("compat.model.faults"), name)
    if name in (*_FUNCTIONS, *_RESULTS):
        return getattr(import_module("compat.api"), name)
    raise AttributeError(f"module 'compat' has no attribute {name!r}")
