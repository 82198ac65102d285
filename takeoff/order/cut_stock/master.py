"""The linear and the whole-number programme over known patterns, solved by HiGHS.

Never turn one HiGHS object from the linear into the whole-number programme: its kept basis then leads to totals below
the bound. `solve_whole` builds its own object every time, and nothing it says is believed before it is counted again.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from takeoff.basics.errors import TakeoffError
from takeoff.order.cut_stock.problem import Pattern, Problem


class SolverStoppedError(TakeoffError):
    """The solver ended without an optimum: the plan found so far stands, and so does the bound proven so far."""


# A pattern and the stock length it is cut from.
Column = tuple[int, Pattern]


def quiet_solver() -> Any:
    import highspy

    base: Any = highspy.Highs

    class Quiet(base):  # type: ignore[misc]
        """Silent before its callbacks are set up: that is when a solver prints its own name on standard output."""

        def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    solver = Quiet()
    for name, value in (("output_flag", False), ("threads", 1), ("random_seed", 1), ("parallel", "off")):
        solver.setOptionValue(name, value)
    return solver


def _rows(problem: Problem) -> dict[int, int]:
    """Row numbers of the limited stock lengths, after the rows of the kinds."""
    limited = [stock for stock, flag in enumerate(problem.limited) if flag]
    return {stock: len(problem.demands) + number for number, stock in enumerate(limited)}


def _entries(column: Column, rows: dict[int, int]) -> tuple[list[int], list[float]]:
    stock, pattern = column
    index = [kind for kind, _ in pattern]
    value = [float(n) for _, n in pattern]
    if stock in rows:
        index.append(rows[stock])
        value.append(1.0)
    return index, value


class LinearMaster:
    """Least cost of a mix of columns that covers what is left of the demands; keeps its basis from call to call.

    Costs are stock lengths in shares of the longest. Every kind also has a column that misses one piece, at more than
    any bar costs, so that the programme always has an answer.
    """

    def __init__(self, problem: Problem) -> None:
        import numpy as np

        self._np = np
        self.problem = problem
        self._limit_rows = _rows(problem)
        self.columns: list[Column] = []
        self._known: dict[Column, int] = {}
        # a charge for each bar, too small to weigh against length: of equal mixes the one of fewer bars comes out
        self.bar_mm = 0.01 * problem.step_mm / problem.count
        self._unit = float(max(problem.stock_mm))
        self._solver = quiet_solver()
        self._solver.setOptionValue("presolve", "off")
        self._solver.setOptionValue("simplex_strategy", 1)
        inf = float("inf")
        for demand in problem.demands:
            self._solver.addRow(float(demand), inf, 0, np.array([], dtype=np.int32), np.array([]))
        for stock in self._limit_rows:
            self._solver.addRow(-inf, float(problem.supplies[stock]), 0, np.array([], dtype=np.int32), np.array([]))
        kinds = len(problem.demands)
        numbers, ones = np.arange(kinds, dtype=np.int32), np.ones(kinds)
        self._solver.addCols(kinds, ones * MISSING_COST, 0.0 * ones, ones * inf, kinds, numbers, numbers, ones)
        self._dummies = len(problem.demands)
        self._asked = (list(problem.demands), list(problem.supplies))
        self._shut: list[bool] = []  # by column

    def add(self, column: Column) -> bool:
        """Take a column in; False when it was known."""
        if column in self._known:
            return False
        self._known[column] = len(self.columns)
        self.columns.append(column)
        self._shut.append(False)
        index, value = _entries(column, self._limit_rows)
        cost = (self.problem.stock_mm[column[0]] + self.bar_mm) / self._unit
        np = self._np
        self._solver.addCol(cost, 0.0, float("inf"), len(index), np.array(index, dtype=np.int32), np.array(value))
        return True

    def set_rest(self, demands: Sequence[int], supplies: Sequence[int], banned: frozenset[Column]) -> None:
        """Ask for `demands` from `supplies` from now on; columns that hold more than that, or are banned, are shut."""
        inf = float("inf")
        were, had = self._asked
        for kind, demand in enumerate(demands):  # the solver is told what is other than it was, and nothing else
            if demand != were[kind]:
                self._solver.changeRowBounds(kind, float(demand), inf)
        for stock, row in self._limit_rows.items():
            if supplies[stock] != had[stock]:
                self._solver.changeRowBounds(row, -inf, float(supplies[stock]))
        self._asked = (list(demands), list(supplies))
        for number, column in enumerate(self.columns):
            shut = not fits(column, demands, supplies) or column in banned
            if shut is not self._shut[number]:
                self._shut[number] = shut
                self._solver.changeColBounds(self._dummies + number, 0.0, 0.0 if shut else inf)

    def solve(self) -> tuple[list[float], list[float], list[float]]:
        """Share of each column, price of each kind and of each limited stock length [mm].

        Raises SolverStoppedError when the solver does not reach an optimum.
        """
        self._solver.run()
        status = self._solver.modelStatusToString(self._solver.getModelStatus())
        if status != "Optimal":
            raise SolverStoppedError(f"the linear programme of the cut plan ended as: {status}.")
        solution = self._solver.getSolution()
        shares = list(solution.col_value)[self._dummies :]
        duals = [dual * self._unit for dual in solution.row_dual]
        kinds = len(self.problem.demands)
        return shares, duals[:kinds], duals[kinds:]

    def missing(self) -> float:
        """How many pieces the last answer leaves uncovered."""
        return float(sum(list(self._solver.getSolution().col_value)[: self._dummies]))


def fits(column: Column, demands: Sequence[int], supplies: Sequence[int]) -> bool:
    """Whether a bar of that column can be cut from `supplies` and holds no more than `demands`."""
    stock, pattern = column
    if supplies[stock] <= 0:
        return False
    for kind, n in pattern:  # noqa: SIM110 - asked a hundred times for each programme: a generator takes twice as long
        if n > demands[kind]:
            return False
    return True


# more than one whole bar of the longest stock for a single piece, in shares of that bar
MISSING_COST = 4.0


def solve_whole(
    problem: Problem,
    columns: Sequence[Column],
    demands: Sequence[int],
    supplies: Sequence[int],
    nodes: int,
    target_mm: int | None = None,
) -> tuple[tuple[Column, int], ...] | None:
    """The best whole mix of columns within `nodes` branch nodes, as (column, times); None when none was found.

    Fewest bars and then cuts break ties of length. `target_mm`: stop as soon as a mix is no longer than this.
    """
    import numpy as np

    solver = quiet_solver()
    rows = _rows(problem)
    inf = float("inf")
    none = np.array([], dtype=np.int32)
    for demand in demands:
        solver.addRow(float(demand), inf, 0, none, np.array([]))
    for stock in rows:
        solver.addRow(-inf, float(supplies[stock]), 0, none, np.array([]))
    costs = column_costs(problem, columns)
    for column, cost in zip(columns, costs, strict=True):
        index, value = _entries(column, rows)
        solver.addCol(cost, 0.0, inf, len(index), np.array(index, dtype=np.int32), np.array(value))
    count = len(columns)
    import highspy

    solver.changeColsIntegrality(
        count, np.arange(count, dtype=np.int32), np.array([highspy.HighsVarType.kInteger] * count)
    )
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_rel_gap", 0.0)
    if target_mm is not None:
        # half a step above the target: ties of length may be stopped at, a step more may not
        solver.setOptionValue("objective_target", (target_mm + 0.5 * problem.step_mm) / problem.step_mm)
    solver.run()
    if solver.getInfo().primal_solution_status != 2:
        return None
    values = list(solver.getSolution().col_value)
    return tuple((column, round(v)) for column, v in zip(columns, values, strict=True) if v > 0.5)


def column_costs(problem: Problem, columns: Sequence[Column]) -> list[float]:
    """Cost of a column in stock steps, plus shares too small to outweigh a step for the bar and for its last cut."""
    step = problem.step_mm
    per_bar = 0.4 / (problem.count + 1)
    per_cut = per_bar / (problem.count + 1)
    widths, rooms = problem.widths, problem.rooms
    costs = []
    for stock, pattern in columns:
        open_end = sum(widths[kind] * n for kind, n in pattern) < rooms[stock]
        costs.append(problem.stock_mm[stock] / step + per_bar + per_cut * open_end)
    return costs
