"""Cuts whole deliveries of about 2,000 leaves into 200 sets with a general solver, for comparison with the program's own
answers. A flow over the lengths of the runs stands for all the cuttings of them; no windows.

Needs scipy (its HiGHS solver was used). Writes one line of JSON: for each mix, for each seed [sets filled, flitches used,
longest spare run], each proven optimal in turn with those before it held fixed; null where 60 s did not prove it.

    python3 tests/reference/sequence_deliveries.py > tests/reference/sequence_deliveries.json
"""

import json
import sys
from collections import Counter

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from sequence_sets import Dice

MIXES = [(2, 12, 8), (4, 12, 8), (6, 16, 20), (6, 16, 8), (8, 12, 20), (10, 24, 20), (8, 12, 0)]


def case(seed, low, high, gap):
    dice = Dice(seed * 7919 + 12345)
    for _ in range(10):
        dice.roll(0, 1)
    flitches = []
    for _ in range(40):
        runs = []
        for leaf in range(dice.roll(30, 70)):
            missing = gap > 0 and dice.roll(1, gap) == 1
            if leaf == 0 or missing:
                runs.append(0)
            runs[-1] += 1
        flitches.append(runs)
    return flitches, sorted(dice.roll(low, high) for _ in range(200))


def solve(flitches, sizes, limit, spare, fewest):
    """Fewest flitches, or None where it cannot be done; any number up to `limit` where not `fewest`."""
    longest = max(max(runs) for runs in flitches)
    counts = Counter(sizes)
    arcs = [(start, size) for size in counts for start in range(longest - size + 1)]
    spares = [(start, spare) for start in range(longest - spare + 1)] if spare else []
    losses = [(start, 1) for start in range(longest)]
    flows = arcs + spares + losses
    n, whole = len(flows), len(flitches)
    # Columns: the flows, whether each flitch is used, whether the spare run is in a flitch that is not.
    rows, cols, values, low, high = [], [], [], [], []

    def row(entries, least, most):
        for col, value in entries:
            rows.append(len(low))
            cols.append(col)
            values.append(value)
        low.append(least)
        high.append(most)

    for node in range(longest + 1):
        entries = [(i, 1) for i, (start, _) in enumerate(flows) if start == node]
        entries += [(i, -1) for i, (start, size) in enumerate(flows) if start + size == node]
        for f, runs in enumerate(flitches):
            ends = len(runs) if node == 0 else -runs.count(node)
            if ends:
                entries.append((n + f, -ends))
        row(entries, 0, 0)
    for size, count in counts.items():
        row([(i, 1) for i, (_, s) in enumerate(arcs) if s == size], count, count)
    if spare:
        entries = [(len(arcs) + i, 1) for i in range(len(spares))]
        for f, runs in enumerate(flitches):
            if max(runs) >= spare:
                entries.append((n + whole + f, 1))
            row([(n + f, 1), (n + whole + f, 1)], 0, 1)
        row(entries, 1, 1)
    row([(n + f, 1) for f in range(whole)], 0, limit)
    shape = (len(low), n + 2 * whole)
    upper = np.concatenate([np.full(n, 200 * longest), np.ones(2 * whole)])
    cost = np.zeros(n + 2 * whole)
    if fewest:
        cost[n : n + whole] = 1
    found = milp(
        cost,
        constraints=LinearConstraint(coo_array((values, (rows, cols)), shape=shape).tocsr(), low, high),
        integrality=np.ones(n + 2 * whole),
        bounds=Bounds(0, upper),
        options={"time_limit": 60, "mip_rel_gap": 0},
    )
    if found.status == 2:
        return None
    if found.status != 0:
        raise TimeoutError
    return round(found.x[n : n + whole].sum())


def largest(low, high, works):
    while low < high:
        middle = (low + high + 1) // 2
        if works(middle):
            low = middle
        else:
            high = middle - 1
    return low


def best(seed, low, high, gap):
    flitches, sizes = case(seed, low, high, gap)
    try:
        most = largest(0, 200, lambda m: solve(flitches, sizes[:m], 40, 0, False) is not None)
        used = solve(flitches, sizes[:most], 40, 0, True)
        longest = max(max(runs) for runs in flitches)
        spare = largest(0, longest, lambda r: solve(flitches, sizes[:most], used, r, False) is not None)
        answer = [most, used, spare]
    except TimeoutError:
        answer = None
    print(low, high, gap, seed, answer, file=sys.stderr)
    return answer


if __name__ == "__main__":
    print(json.dumps({f"{low}-{high}/{gap}": [best(seed, low, high, gap) for seed in (1, 2)] for low, high, gap in MIXES}))
