"""Best assignments of 200 random matrices, for tests/all/pairing.rs.

Solved by scipy.optimize.linear_sum_assignment (scipy 1.17.1, numpy 2.4.6). Run in this folder:

    python3 assignment.py > assignment.json

A weight of zero means "not like enough": the program assigns nothing there, which adds nothing to the sum, so the
greatest sum is the same.
"""

import json

import numpy as np
from scipy.optimize import linear_sum_assignment

rng = np.random.default_rng(20260302)
cases = []
for _ in range(200):
    rows, columns = (int(n) for n in rng.integers(1, 13, size=2))
    weights = rng.integers(0, 1_000_000, size=(rows, columns))
    # Many pairs are unlike, and many are alike to the last digit.
    weights[rng.random((rows, columns)) < rng.choice([0.0, 0.3, 0.8])] = 0
    if rng.random() < 0.3:
        weights = weights // 250_000 * 250_000
    chosen_rows, chosen_columns = linear_sum_assignment(weights, maximize=True)
    best = int(weights[chosen_rows, chosen_columns].sum())
    cases.append({"weights": weights.tolist(), "best": best})
print("[")
print(",\n".join(json.dumps(case, separators=(",", ":")) for case in cases))
print("]")
