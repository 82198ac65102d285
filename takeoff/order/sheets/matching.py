"""Which two of many go together, so that the sum of what pairs are worth is greatest: a whole-number programme.

Of few pairs the solver looks at once. Of more it may branch without end, where growing trees of pairs that change
places comes to the same answer in a part of a second. Of many that takes minutes too, so they are solved as a linear
programme, to which the rule that of an odd number of nodes one stays alone is added wherever its answer breaks it (both
by Edmonds: "Paths, trees, and flowers" and "Maximum matching and a polyhedron with 0,1-vertices", 1965). What hangs in
the balance after some rounds is chosen as a whole-number programme of its own, and partners are exchanged while that is
worth more. The linear programme is a bound: what reaches it is proven.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from takeoff.order.cut_stock.master import quiet_solver

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Edge = tuple[int, int]
_Pair = tuple[int | None, int | None]  # None beside who stands alone

MOST_EDGES = 100_000  # over this only the best partners of each are looked at
BEST = 40
_FEW_EDGES = 650  # over this they are looked at in shares first: a fifth of the time where no share comes out broken
_SOME_EDGES = 1_000  # over this trees are grown, whose library takes a tenth of a second to load
_MANY_EDGES = 4_000  # over this a linear programme comes first
_ROUNDS = 30  # in which odd sets of nodes are looked for
_NODES = 20  # of the search in what is left over after that
_PARTED = 20  # pairs that are looked at again together with what is left over
_PASSES = 5  # of exchanging partners
_NEVER = 1e9  # worth of a pair that is not allowed, less than nothing
_WHOLE = 1e-6
_STEPS = 2**24  # worth is counted in so many parts of a mm, so that trees are grown by whole numbers


def best_pairs(worth: Mapping[Edge, float]) -> tuple[tuple[Edge, ...], bool]:
    """The pairs (a, b) of greatest total worth in which no one stands twice, sorted, and whether that is proven.

    `worth`: of every pair that is allowed, above 0. Solved with one thread: the same pairs every time.
    """
    edges, all_there = _most_worth(worth)
    if not edges:
        return (), True
    if len(edges) > _MANY_EDGES:
        chosen, bound = _by_odd_sets(edges, worth)
        proven = bound - sum(worth[edge] for edge in chosen) < _WHOLE
    elif len(edges) > _SOME_EDGES:
        chosen, proven = _by_trees(edges, worth), True
    else:
        chosen, proven = _whole(edges, worth)
    return _each_once(chosen), proven and all_there


def _by_trees(edges: Sequence[Edge], worth: Mapping[Edge, float]) -> tuple[Edge, ...]:
    """The best pairs (Edmonds' trees and blossoms, as networkx grows them), sorted."""
    import networkx as nx

    graph = nx.Graph()
    graph.add_weighted_edges_from((a, b, round(worth[a, b] * _STEPS)) for a, b in edges)
    return tuple(sorted((min(pair), max(pair)) for pair in nx.max_weight_matching(graph)))


def _whole(edges: Sequence[Edge], worth: Mapping[Edge, float], nodes: int = 0) -> tuple[tuple[Edge, ...], bool]:
    """The best pairs as a whole-number programme, and whether the solver proved them; `nodes`: the most that it may
    branch to (0: as many as it needs)."""
    import highspy
    import numpy as np

    solver = quiet_solver()
    rows, count = _rows(edges), len(edges)
    none, no_rows = np.array([], dtype=np.int32), np.array([])
    solver.addRows(len(rows), np.full(len(rows), -float("inf")), np.ones(len(rows)), 0, none, none, no_rows)
    ends = np.array([rows[node] for edge in edges for node in edge], dtype=np.int32)
    costs, starts = np.array([-worth[edge] for edge in edges]), np.arange(0, 2 * count, 2, dtype=np.int32)
    solver.addCols(count, costs, np.zeros(count), np.ones(count), 2 * count, starts, ends, np.ones(2 * count))
    if count <= _FEW_EDGES or nodes or not _whole_in_shares(solver):
        kinds = np.array([highspy.HighsVarType.kInteger] * count)
        solver.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
        limit = [("mip_max_nodes", nodes)] if nodes else []
        for name, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", 1e-7), *limit):
            solver.setOptionValue(name, value)
        solver.run()
    if solver.getInfo().primal_solution_status != 2:
        return (), False
    values = list(solver.getSolution().col_value)
    chosen = tuple(edge for edge, value in zip(edges, values, strict=True) if value > 0.5)
    return chosen, solver.getModelStatus() == highspy.HighsModelStatus.kOptimal


def _whole_in_shares(solver: Any) -> bool:
    """Solve a programme as a linear one: whether every share is all or nothing, so that no whole numbers are worth
    more. Where one is not, the solver forgets what it found."""
    import highspy
    import numpy as np

    solver.run()
    shares = np.array(solver.getSolution().col_value)
    broken = bool((np.abs(shares - np.round(shares)) > _WHOLE).any())
    if broken or solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        solver.clearSolver()
        return False
    return True


def _rows(edges: Sequence[Edge]) -> dict[int, int]:
    return {node: row for row, node in enumerate(sorted({node for edge in edges for node in edge}))}


def _by_odd_sets(edges: Sequence[Edge], worth: Mapping[Edge, float]) -> tuple[tuple[Edge, ...], float]:
    """Pairs of great total worth, and what no pairs are worth more than."""
    import numpy as np

    rows = _rows(edges)
    ends = np.array([[rows[a], rows[b]] for a, b in edges], dtype=np.int32)
    solver = _linear(ends, np.array([worth[edge] for edge in edges]), len(rows))
    bound = float("inf")
    for _ in range(_ROUNDS):
        solver.run()
        bound = min(bound, -solver.getInfo().objective_function_value)
        shares, costs = (np.array(part) for part in (solver.getSolution().col_value, solver.getSolution().col_dual))
        sets = [found for found in _parts(ends, shares) if _breaks(found, ends, shares, len(rows))]
        if not sets:
            break
        for found in sets:
            inside = _within(found, ends, len(rows))
            most = float((len(found) - 1) // 2)
            solver.addRow(-float("inf"), most, len(inside), inside.astype(np.int32), np.ones(len(inside)))
    open_ = _open(ends, shares, costs, len(rows))
    sure = np.flatnonzero((shares > 1.0 - _WHOLE) & ~open_[ends].all(axis=1))
    left = [edges[n] for n in np.flatnonzero(open_[ends].all(axis=1)).tolist()]
    rest = _whole(left, worth, _NODES)[0] if left else ()
    chosen = [*(edges[n] for n in sure.tolist()), *rest]
    return _bettered(chosen, rows, {edge: worth[edge] for edge in edges}), bound


def _bettered(chosen: Sequence[Edge], nodes: Collection[int], worth: Mapping[Edge, float]) -> tuple[Edge, ...]:
    """The pairs with partners exchanged between two pairs, or a pair parted for two that stand alone, while that is
    worth more."""
    taken = {node for edge in chosen for node in edge}
    pairs: list[_Pair] = [*sorted(chosen)]
    pairs += [(node, None) for node in nodes if node not in taken]
    partners = _Partners(pairs, {node: place for place, node in enumerate(nodes)}, worth)
    for _ in range(_PASSES):
        exchanged = [partners.exchange(place) for place in range(len(pairs))]
        if not any(exchanged):
            break
    return tuple(sorted((min(a, b), max(a, b)) for a, b in partners.pairs() if a is not None and b is not None))


class _Partners:
    """Pairs by the places of their nodes, none as the place past all, and what they are worth."""

    def __init__(self, pairs: Sequence[_Pair], rows: Mapping[int, int], worth: Mapping[Edge, float]) -> None:
        import numpy as np

        self._nodes = sorted(rows, key=lambda node: rows[node])
        self._none = len(rows)
        beside: list[tuple[list[int], list[float]]] = [([], []) for _ in rows]
        for (a, b), value in worth.items():
            for one, other in ((rows[a], rows[b]), (rows[b], rows[a])):
                beside[one][0].append(other)
                beside[one][1].append(value)
        self._beside = [(np.array(others, dtype=np.intp), np.array(values)) for others, values in beside]
        places = [[self._none if node is None else rows[node] for node in pair] for pair in pairs]
        self._pairs = np.array(places, dtype=np.intp).reshape(-1, 2)
        self._worth = np.array([float(self._with(a)[b]) for a, b in places])

    def pairs(self) -> list[_Pair]:
        """The pairs as they now are."""
        return [(self._node(a), self._node(b)) for a, b in self._pairs.tolist()]

    def _node(self, place: int) -> int | None:
        return None if place == self._none else self._nodes[place]

    def _with(self, place: int) -> NDArray[np.float64]:
        """What a node is worth with each other: nothing beside none, less than nothing where that is no pair."""
        import numpy as np

        if place == self._none:
            return np.zeros(self._none + 1)
        found = np.full(self._none + 1, -_NEVER)
        others, values = self._beside[place]
        found[others] = values
        found[self._none] = 0.0
        return found

    def exchange(self, i: int) -> bool:
        """Exchange partners of the pair at `i` with one pair after another behind it wherever both are then worth more;
        False where none is."""
        import numpy as np

        at, done = i + 1, False
        while at < len(self._pairs):
            a, b = self._pairs[i].tolist()
            with_a, with_b = self._with(a), self._with(b)
            c, d = self._pairs[at:, 0], self._pairs[at:, 1]
            straight, across = with_a[c] + with_b[d], with_a[d] + with_b[c]
            better = np.maximum(straight, across) > self._worth[i] + self._worth[at:] + _WHOLE
            first = int(better.argmax())
            if not better[first]:
                break
            j, done = at + first, True
            one, other = (c[first], d[first]) if straight[first] >= across[first] else (d[first], c[first])
            self._worth[i], self._worth[j] = with_a[one], with_b[other]
            self._pairs[i], self._pairs[j] = (a, one), (b, other)
            at = j + 1
        return done


def _open(
    ends: NDArray[np.int32], shares: NDArray[np.float64], costs: NDArray[np.float64], nodes: int
) -> NDArray[np.bool_]:
    """The nodes whose pairs hang in the balance, with those of some pairs that could best be parted for them."""
    import numpy as np

    open_ = np.zeros(nodes, dtype=bool)
    open_[ends[(shares > _WHOLE) & (shares < 1.0 - _WHOLE)].ravel()] = True
    if not open_.any():
        return open_
    # what it costs to pair each node with an open one, in the prices of the linear programme
    parting = np.full(nodes, np.inf)
    beside = np.flatnonzero(open_[ends].any(axis=1))
    np.minimum.at(parting, ends[beside].ravel(), np.repeat(costs[beside], 2))
    sure = np.flatnonzero((shares > 1.0 - _WHOLE) & ~open_[ends].any(axis=1))
    order = sure[np.argsort(parting[ends[sure]].sum(axis=1), kind="stable")]
    open_[ends[order[:_PARTED]].ravel()] = True
    return open_


def _linear(ends: NDArray[np.int32], worth: NDArray[np.float64], nodes: int) -> Any:
    """The linear programme: shares of edges, of which no node has more than one."""
    import highspy
    import numpy as np

    count = len(worth)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = count, nodes
    model.col_cost_, model.col_lower_, model.col_upper_ = -worth, np.zeros(count), np.full(count, float("inf"))
    model.row_lower_, model.row_upper_ = np.full(nodes, -float("inf")), np.ones(nodes)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.arange(0, 2 * count + 1, 2)
    model.a_matrix_.index_, model.a_matrix_.value_ = ends.ravel(), np.ones(2 * count)
    solver = quiet_solver()
    solver.passModel(model)
    return solver


def _parts(ends: NDArray[np.int32], shares: NDArray[np.float64]) -> Iterator[frozenset[int]]:
    """Nodes that hang together by edges which are neither taken nor left, by their lowest node."""
    import numpy as np

    beside: dict[int, list[int]] = {}
    for a, b in ends[np.flatnonzero((shares > _WHOLE) & (shares < 1.0 - _WHOLE))].tolist():
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    seen: set[int] = set()
    for first in sorted(beside):
        if first not in seen:
            part, open_ = {first}, [first]
            while open_:
                more = [node for node in beside[open_.pop()] if node not in part]
                part.update(more)
                open_ += more
            seen |= part
            yield frozenset(part)


def _within(part: frozenset[int], ends: NDArray[np.int32], nodes: int) -> NDArray[np.intp]:
    """The edges both of whose ends are of a part."""
    import numpy as np

    inside = np.zeros(nodes, dtype=bool)
    inside[sorted(part)] = True
    return np.flatnonzero(inside[ends].all(axis=1))


def _breaks(part: frozenset[int], ends: NDArray[np.int32], shares: NDArray[np.float64], nodes: int) -> bool:
    """Whether shares give an odd part more pairs than its nodes make."""
    return len(part) % 2 == 1 and float(shares[_within(part, ends, nodes)].sum()) > (len(part) - 1) / 2 + _WHOLE


def _most_worth(worth: Mapping[Edge, float]) -> tuple[list[Edge], bool]:
    """The pairs to look at, sorted; of too many the best of each one."""
    if len(worth) <= MOST_EDGES:
        return sorted(worth), True
    of: dict[int, list[Edge]] = {}
    for edge in worth:
        for node in edge:
            of.setdefault(node, []).append(edge)
    kept = {edge for edges in of.values() for edge in sorted(edges, key=lambda e: (-worth[e], e))[:BEST]}
    return sorted(kept), False


def _each_once(chosen: Sequence[Edge]) -> tuple[Edge, ...]:
    """What the solver chose, counted again: a pair whose half is taken already is left out."""
    taken: set[int] = set()
    kept = []
    for edge in chosen:
        if not taken & set(edge):
            taken |= set(edge)
            kept.append(edge)
    return tuple(kept)
