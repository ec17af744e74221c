"""Simulates leaves of flitches and finds the shortest order of each exactly, for comparison with the program's own.

Needs ortools (9.15 was used), numpy and scipy. Writes JSON: for each flitch the landmarks' distances from the butt end in
0.01 mm (null where absent), one row a leaf in true order; the least cost of any order, proven by CP-SAT; and the share of
true neighbours that an order by the second eigenvector of the graph Laplacian (scipy) recovers.

    python3 tests/reference/sequence_unmarked.py > tests/reference/sequence_unmarked.json
"""

import json
import math
import random
import sys

import numpy as np
from ortools.sat.python import cp_model
from scipy.linalg import eigh

THICKNESS = 60.5  # 1/42 in, in 0.01 mm


def flitch(dice, count, noise):
    """Inclined features run through; cone-shaped knots are in one unbroken run of leaves, and the edge of a knot moves
    by the inclination of its axis less the growth of the cone, then more the shrinking."""
    columns = []
    for _ in range(dice.randint(1, 2)):
        step = THICKNESS / math.tan(math.radians(dice.uniform(5, 30))) * dice.choice([-1, 1])
        base = dice.uniform(30_000, 200_000)
        columns.append([base + step * leaf + dice.uniform(-1, 1) * noise * abs(step) for leaf in range(count)])
    for _ in range(dice.randint(2, 4)):
        angle = math.radians(dice.uniform(5, 25))
        step, cone = THICKNESS / math.tan(angle), dice.uniform(0.1, 0.4)
        first = dice.randint(-2, count - 4)
        last = dice.randint(first + 4, count + 2)
        base, sign = dice.uniform(30_000, 200_000), dice.choice([-1, 1])
        column = []
        for leaf in range(count):
            if not first <= leaf <= last:
                column.append(None)
                continue
            middle = (first + last) / 2
            radius = step * cone * (middle - first - abs(leaf - middle))
            slowest = step * (1 - cone)
            column.append(base + sign * step * leaf - radius + dice.uniform(-1, 1) * noise * slowest)
        columns.append(column)
    return [[None if at is None else round(at) for at in row] for row in zip(*columns)]


def distances(leaves):
    """What landmarks move between leaves that both show them, and 3/4 of a landmark's range and 0.01 mm more where only
    one does; the last row stands for an end, where nothing is shown."""
    columns = list(zip(*leaves))
    half = []
    for column in columns:
        places = [at for at in column if at is not None]
        half.append((max(places) - min(places)) // 4 * 3 + 1 if places else 1)
    rows = leaves + [[None] * len(columns)]

    def apart(one, other):
        total = 0
        for a, b, cost in zip(one, other, half):
            if a is not None and b is not None:
                total += abs(a - b)
            elif (a is None) != (b is None):
                total += cost
        return total

    return [[apart(one, other) for other in rows] for one in rows]


def least(far):
    count = len(far)
    model = cp_model.CpModel()
    arcs, costs = [], []
    for one in range(count):
        for other in range(count):
            if one != other:
                arc = model.NewBoolVar("")
                arcs.append((one, other, arc))
                costs.append(far[one][other] * arc)
    model.AddCircuit(arcs)
    model.Minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = 20
    if solver.Solve(model) != cp_model.OPTIMAL:
        return None
    return round(solver.ObjectiveValue())


def spectral(far):
    far = np.array(far, dtype=float)[:-1, :-1]
    like = np.exp(-far / (0.2 * far.mean()))
    laplacian = np.diag(like.sum(axis=1)) - like
    order = np.argsort(eigh(laplacian)[1][:, 1]).tolist()
    return sum(abs(a - b) == 1 for a, b in zip(order, order[1:])) / (len(order) - 1)


if __name__ == "__main__":
    dice = random.Random(2107)
    cases = []
    for count, noise in [(10, 0.3)] * 10 + [(13, 0.8)] * 10 + [(16, 2.0)] * 10 + [(20, 0.8)] * 5 + [(26, 0.6)] * 5:
        proven = None
        while proven is None:  # a flitch that the solver cannot settle in 20 s is put aside
            leaves = flitch(dice, count, noise)
            far = distances(leaves)
            proven = least(far)
            print(count, noise, proven, file=sys.stderr)
        cases.append({"leaves": leaves, "least": proven, "spectral": round(spectral(far), 3)})
    print(json.dumps(cases, separators=(",", ":")))
