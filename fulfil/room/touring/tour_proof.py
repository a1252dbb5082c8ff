"""Proving a searched tour the shortest, or bounding it closely, by integer programming.

Every stop is left once and entered once, and every group of stops is left at least once (G. Dantzig, R. Fulkerson,
S. Johnson, Oper. Res. 2, 1954, 393-410, doi:10.1287/opre.2.4.393). The rows for groups are added only where a
solution breaks them: groups that hang together with nothing else, and least cuts. First the linear programme, then
the integer one, by HiGHS (Q. Huangfu, J. A. J. Hall, Math. Program. Comput. 10, 2018, 119-142,
doi:10.1007/s12532-017-0130-5). The work is limited by rounds and branching nodes, never by the clock.

Thirty stops take from half a second to some seconds. A bound is taken half a millimetre short before it is rounded
up to whole millimetres: far more than the solver's tolerance.

>>> way = np.array([[0, 1, 9, 9], [9, 0, 1, 9], [9, 9, 0, 1], [1, 9, 9, 0]])
>>> prove_tour(way, 20, [2, 1, 3], 0)
(4, [1, 2, 3], 4)
"""

from math import ceil

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, maximum_flow

_ROUNDS = (60, 20)
_NODES = 2000
_UNIT = 1 << 20


def prove_tour(way_mm: NDArray[np.int64], tour_mm: int, order: list[int], bound_mm: int) -> tuple[int, list[int], int]:
    """Length, order and bound, each as good as the ones given or better.

    Args:
        way_mm: distances [from, to]; tours are closed and begin at 0.
        tour_mm: the length of a known tour.
        order: its stops after 0.
        bound_mm: a known bound.
    """
    size = len(way_mm)
    if size < 3:
        only_mm = int(way_mm[0, -1] + way_mm[-1, 0])
        return only_mm, order, only_mm
    arcs = np.array([(a, b) for a in range(size) for b in range(size) if a != b])
    cost = way_mm[arcs[:, 0], arcs[:, 1]].astype(np.float64)
    groups: list[NDArray[np.bool_]] = []
    for integral in (False, True):
        for _ in range(_ROUNDS[integral]):
            if bound_mm >= tour_mm:
                return tour_mm, order, tour_mm
            solved = milp(
                cost,
                integrality=np.full(len(cost), int(integral)),
                bounds=Bounds(0, 1),
                constraints=_rows(arcs, size, groups),
                options={"node_limit": _NODES, "mip_rel_gap": 0.0} if integral else {},
            )
            lower = solved.mip_dual_bound if integral else solved.fun
            if lower is None or not np.isfinite(lower):
                return tour_mm, order, bound_mm
            bound_mm = max(bound_mm, ceil(lower - 0.5))
            if solved.x is None:
                return tour_mm, order, min(bound_mm, tour_mm)
            table = csr_array((solved.x, (arcs[:, 0], arcs[:, 1])), shape=(size, size))
            broken = _broken(table)
            if not broken:
                if np.all(np.abs(solved.x - solved.x.round()) < 1e-6):
                    tour_mm, order = _better(way_mm, table, tour_mm, order)
                break
            groups += broken
        else:
            break
    return tour_mm, order, min(bound_mm, tour_mm)


def _rows(arcs: NDArray[np.int64], size: int, groups: list[NDArray[np.bool_]]) -> list[LinearConstraint]:
    columns = np.arange(len(arcs))
    ones = np.ones(len(arcs))
    once = [
        LinearConstraint(csr_array((ones, (arcs[:, end], columns)), shape=(size, len(arcs))), 1, 1) for end in (0, 1)
    ]
    if groups:
        leaves = np.array([group[arcs[:, 0]] & ~group[arcs[:, 1]] for group in groups], dtype=np.float64)
        once.append(LinearConstraint(csr_array(leaves), 1, np.inf))
    return once


def _broken(table: csr_array) -> list[NDArray[np.bool_]]:
    """Groups of stops without the bench that the solution leaves less than once."""
    size = table.shape[0]
    support = table.copy()
    support.data = (support.data > 1e-7).astype(np.float64)
    support.eliminate_zeros()
    parts, label = connected_components(support, directed=True, connection="weak")
    if parts > 1:
        return [label == part for part in range(parts) if part != label[0]]
    whole = np.floor(table.data * _UNIT).astype(np.int32)
    flow = csr_array((whole, table.indices, table.indptr), shape=table.shape)
    groups: dict[bytes, NDArray[np.bool_]] = {}
    for stop in range(1, size):
        least = maximum_flow(flow, stop, 0)
        if least.flow_value < _UNIT * 0.999:
            left = csr_array(flow - least.flow)
            left.data = np.maximum(left.data, 0)
            left.eliminate_zeros()
            group = np.zeros(size, dtype=bool)
            ahead = [stop]
            while ahead:
                here = ahead.pop()
                if not group[here]:
                    group[here] = True
                    ahead.extend(int(k) for k in left.indices[left.indptr[here] : left.indptr[here + 1]])
            groups.setdefault(group.tobytes(), group)
    return list(groups.values())


def _better(way_mm: NDArray[np.int64], table: csr_array, tour_mm: int, order: list[int]) -> tuple[int, list[int]]:
    """The solution's own tour if it is shorter."""
    following = np.asarray(table.todense()).argmax(axis=1)
    found, length, here = [], 0, 0
    while True:
        there = int(following[here])
        length += int(way_mm[here, there])
        if there == 0:
            break
        found.append(there)
        here = there
    return (length, found) if len(found) == len(order) and length < tour_mm else (tour_mm, order)
