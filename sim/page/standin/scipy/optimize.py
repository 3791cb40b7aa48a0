"""Pairs that together cost the least."""

import math

from numpy import array


def linear_sum_assignment(cost):
    """Rows, and the column that each is paired with, (n, m): as many pairs as the fewer have.

    The Hungarian method by shortest ways, each row in turn (as in R. Jonker and A. Volgenant,
    Computing 38 (1987) 325, from memory).
    """
    rows, columns = cost.shape
    if rows > columns:
        column, row = (one.tolist() for one in linear_sum_assignment(cost.T))
        return _in_order(zip(row, column, strict=True))
    costs = cost.tolist() if columns else [[]] * rows
    owner = [None] * columns
    of_row, of_column = [0.0] * rows, [0.0] * columns
    for row in range(rows):
        _paired(row, costs, owner, of_row, of_column)
    return _in_order((row, column) for column, row in enumerate(owner) if row is not None)


def _in_order(pairs):
    pairs = sorted(pairs)
    return array([row for row, _ in pairs]), array([column for _, column in pairs])


def _paired(new, costs, owner, of_row, of_column):
    """Pair one more row, moving others where that is cheaper; keeps the prices right."""
    shortest, came_from = [math.inf] * len(owner), [None] * len(owner)
    reached, row, way, last = set(), new, 0.0, None
    while row is not None:
        for column, cost in enumerate(costs[row]):
            further = way + cost - of_row[row] - of_column[column]
            if column not in reached and further < shortest[column]:
                shortest[column], came_from[column] = further, last
        last = min((c for c in range(len(owner)) if c not in reached), key=shortest.__getitem__)
        way, row = shortest[last], owner[last]
        reached.add(last)
    of_row[new] += way
    for column in reached - {last}:
        of_row[owner[column]] += way - shortest[column]
        of_column[column] -= way - shortest[column]
    while last is not None:
        before = came_from[last]
        owner[last] = new if before is None else owner[before]
        last = before
