"""Better arrangements by a solver: fewest lines, then fewest splits of rooms, then of floors.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
import time, os

from compat.plan.packing_bounds import least_splits
from compat.plan.packing_model import Answer, Packing, Solver, emptiest_first_model, fewest_splits_model
from compat.plan.packing_problem import NOWHERE, Arrangement, Problem, Score, grouped, score, total, fullness

WORK_OF_A_WINDOW = 1.0
WORK_OF_A_TERM = 4e-6
LARGEST_WHOLE = 1500
ROUNDS = 4
DBG=os.environ.get('DBG')

@dataclass(slots=True)
class Budget:
    allowed: float
    tell: Callable[[float, int, int], None]
    spent: float = 0.0

    @property
    def left(self) -> float:
        return max(0.0, self.allowed - self.spent)


@dataclass(slots=True)
class Search:
    problem: Problem
    solver: Solver
    budget: Budget
    lines: Arrangement
    least_lines: int
    room_splits_at_least: int = 0
    floor_splits_at_least: int = 0
    t0: float = 0

    def say(self,what):
        if DBG: print('      ',what,tuple(self.score),'spent',round(self.budget.spent,2),'wall',round(time.perf_counter()-self.t0,2),flush=True)

    def run(self) -> None:
        self.t0=time.perf_counter()
        self.room_splits_at_least = least_splits(self.problem, self.problem.rooms)
        self.floor_splits_at_least = least_splits(self.problem, self.problem.floors)
        self.say('start')
        while len(self.lines) > self.least_lines and self._save_a_line():
            self.say('saved')
        self.say('lines')
        for size in (2,3,4,5):
            self._coarse(size)
            self.say('coarse %d'%size)
        for size in (2, 3, 4):
            self._windows(size)
            self.say('fine %d'%size)
        if not self._done():
            self._whole()
            self.say('whole')

    def _coarse(self, size):
        if self._done(): return
        atoms=[]; lines=[]
        for line in self.lines:
            here=[]
            byroom=grouped(self.problem.rooms,line)
            pieces=list(byroom.values())+[[i] for i in line if self.problem.rooms[i]==NOWHERE]
            for piece in pieces:
                here.append(len(atoms)); atoms.append(piece)
            lines.append(here)
        p=self.problem
        q=Problem(tuple(total(p,a) for a in atoms),p.limits,tuple(p.rooms[a[0]] for a in atoms),tuple(p.floors[a[0]] for a in atoms))
        s=replace(self,problem=q,lines=lines)
        s._windows(size)
        self.lines=[[i for a in line for i in atoms[a]] for line in s.lines]

    def _done(self) -> bool:
        found = self.score
        at_least = (found.lines, self.room_splits_at_least, self.floor_splits_at_least)
        return found == at_least or self.budget.left <= 0

    @property
    def score(self) -> Score:
        return score(self.problem, self.lines)

    def _solve(self, packing: Packing, work: float) -> Answer:
        work = min(work, self.budget.left)
        answer = self.solver.solve(packing.model, work)
        terms = sum(len(terms) for terms, _, _ in packing.model.rows)
        self.budget.spent += answer.work + WORK_OF_A_TERM * terms
        self.budget.tell(min(1.0, self.budget.spent / self.budget.allowed), len(self.lines), self.least_lines)
        return answer

    def _save_a_line(self) -> bool:
        load=lambda i: sum(fullness(self.problem,self.problem.sizes[x]) for x in self.lines[i])
        lines=[list(l) for l in self.lines]
        lines.sort(key=lambda line: sum(fullness(self.problem,self.problem.sizes[x]) for x in line))
        x=lines[0]; rest=lines[1:]
        for size in (2,3,4,5):
            gained=True
            while gained:
                gained=False
                start=0
                while start<len(rest):
                    w=rest[start:start+size-1]
                    if self.budget.left<=0.5*self.budget.allowed: return False
                    pk=emptiest_first_model(self.problem,[x,*w])
                    m=pk.model; before=sum(f*m.hint[v] for v,f in m.goal)
                    a=self._solve(pk,WORK_OF_A_WINDOW)
                    if a.values and sum(f*a.values[v] for v,f in m.goal)<before:
                        got=pk.arrangement(a.values); x=got[0]; rest[start:start+size-1]=got[1:]; gained=True
                        if not x:
                            self.lines=rest; return True
                    start+=size-1
        return False

    def _windows(self, size: int) -> None:
        tried: set[tuple[tuple[int, ...], ...]] = set()
        for turn in range(ROUNDS):
            gained = False
            for window in self._candidates(size, turn):
                if self._done():
                    return
                lines = [self.lines[line] for line in window]
                key = tuple(tuple(sorted(line)) for line in lines)
                if key not in tried and self._gains(window, lines):
                    gained = True
                tried.add(key)
            if not gained and turn:
                return

    def _candidates(self, size: int, turn: int) -> Iterator[list[int]]:
        for first in range(len(self.lines)):
            others = [line for line in range(len(self.lines)) if line != first]
            if len(others) + 1 < size:
                return
            others.sort(key=lambda line: (self._in_common(first, line), (line - first) % len(self.lines)))
            start = turn * (size - 1) % len(others)
            chosen = (others + others)[start : start + size - 1]
            yield sorted({first, *chosen})

    def _in_common(self, first: int, second: int) -> tuple[int, int]:
        shared = []
        for places in (self.problem.rooms, self.problem.floors):
            here = {places[item] for item in self.lines[first]} & {places[item] for item in self.lines[second]}
            shared.append(-len(here - {NOWHERE}))
        return shared[0], shared[1]

    def _gains(self, window: list[int], lines: Arrangement) -> bool:
        if not any(
            len(on) > 1
            for places in (self.problem.rooms, self.problem.floors)
            for on in _lines_of_places(places, lines)
        ):
            return False
        packing = fewest_splits_model(self.problem, lines)
        answer = self._solve(packing, WORK_OF_A_WINDOW)
        if answer.values is None:
            return False
        model = packing.model
        before = sum(factor * model.hint[variable] for variable, factor in model.goal)
        if sum(factor * answer.values[variable] for variable, factor in model.goal) >= before:
            return False
        for line, found in zip(window, packing.arrangement(answer.values), strict=True):
            self.lines[line] = found
        return True

    def _whole(self) -> None:
        packing = fewest_splits_model(self.problem, self.lines)
        if len(packing.model.upper) > LARGEST_WHOLE:
            return
        answer = self._solve(packing, self.budget.left)
        if answer.values is not None:
            found = packing.arrangement(answer.values)
            if score(self.problem, found) < self.score:
                self.lines = found
        if answer.proven:
            _, self.room_splits_at_least, self.floor_splits_at_least = self.score
        elif packing.model.goal:
            weight = max(factor for _, factor in packing.model.goal)
            rooms = len([1 for items in grouped(self.problem.rooms, range(len(self.problem.rooms))).values() if len(items) > 1])
            self.room_splits_at_least = max(self.room_splits_at_least, answer.bound // weight - rooms)


def _lines_of_places(places: tuple[int, ...], lines: Arrangement) -> list[list[int]]:
    found: dict[int, list[int]] = {}
    for number, line in enumerate(lines):
        for place in sorted({places[item] for item in line} - {NOWHERE}):
            found.setdefault(place, []).append(number)
    return list(found.values())
