"""Writes review_statistics.json: what scipy, statsmodels and lifelines compute, for tests/all/statistics.rs.

    pip install scipy statsmodels lifelines
    python3 tests/reference/review_statistics.py > tests/reference/review_statistics.json
"""

import json
import math
import warnings

import lifelines
import numpy as np
import scipy
import scipy.optimize
import scipy.special
import statsmodels
from lifelines import KaplanMeierFitter
from lifelines.datasets import load_leukemia
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

warnings.simplefilter("ignore")

ALPHA = {"95": 0.05, "998": 0.002}


def intervals():
    rows = []
    for n in (1, 2, 5, 20, 29, 30, 148, 263, 1000, 20000):
        for x in sorted({0, 1, n // 20, n // 3, n // 2, n - 1, n}):
            for level, alpha in ALPHA.items():
                wilson = proportion_confint(x, n, alpha=alpha, method="wilson")
                exact = proportion_confint(x, n, alpha=alpha, method="beta")
                exact = (0.0 if x == 0 else exact[0], 1.0 if x == n else exact[1])
                rows.append([n, x, level, *map(float, wilson), *map(float, exact)])
    return rows


def poisson():
    rows = []
    for x in (0, 1, 2, 5, 25, 100, 2500, 40000):
        for level, alpha in ALPHA.items():
            low = 0.0 if x == 0 else stats.chi2.ppf(alpha / 2, 2 * x) / 2
            rows.append([x, level, float(low), float(stats.chi2.isf(alpha / 2, 2 * x + 2) / 2)])
    return rows


def funnel():
    """Fewest and most inside, from the binomial's own survival and distribution functions, and where the incomplete
    beta function reaches the tail (scipy.optimize.brentq)."""
    rows = []
    for p in (0.003, 0.02, 0.05, 0.125, 0.4, 0.9):
        for n in (1, 5, 20, 37, 60, 240, 1000, 4321, 60000, 300000):
            for level, alpha in ALPHA.items():
                tail = alpha / 2
                counts = np.arange(n + 1)
                few = counts[stats.binom.cdf(counts, n, p) <= tail]
                many = counts[stats.binom.sf(counts - 1, n, p) <= tail]
                fewest = 0 if len(few) == 0 else int(few[-1]) + 1
                most = n if len(many) == 0 else int(many[0]) - 1
                low = high = None
                if len(few):
                    low = scipy.optimize.brentq(
                        lambda x: scipy.special.betainc(n - x, x + 1, 1 - p) - tail, 0, n - 1e-9, xtol=1e-12) / n
                if len(many):
                    high = scipy.optimize.brentq(
                        lambda x: scipy.special.betainc(x, n - x + 1, p) - tail, 1e-9, n, xtol=1e-12) / n
                rows.append([p, n, level, fewest, most, low, high])
    return rows


def survival():
    """Freireich and others 1963: weeks of remission, 6-MP and placebo, as lifelines carries them."""
    data = load_leukemia()
    out = {}
    for name, arm in (("6-MP", 0), ("placebo", 1)):
        rows = data[data["Rx"] == arm].sort_values(["t", "status"])
        fit = KaplanMeierFitter().fit(rows["t"], rows["status"])
        curve = [[float(t), float(s)] for t, s in fit.survival_function_["KM_estimate"].items() if t > 0]
        out[name] = {
            "ages": [[int(t), int(s)] for t, s in zip(rows["t"], rows["status"])],
            "curve": curve,
            "median": float(fit.median_survival_time_),
        }
    few = KaplanMeierFitter().fit([5, 9, 30, 41, 60], [1, 0, 1, 0, 0])
    assert math.isinf(few.median_survival_time_)
    out["mostly open"] = {
        "ages": [[5, 1], [9, 0], [30, 1], [41, 0], [60, 0]],
        "curve": [[float(t), float(s)] for t, s in few.survival_function_["KM_estimate"].items() if t > 0],
        "median": None,
    }
    return out


def quantiles():
    values = [12.0, 20.0, 46.0, 3.0, 3.0, 88.5, 31.0, 7.25]
    return {"values": values, "at": [[q, float(np.quantile(values, q))] for q in (0, 0.1, 0.25, 0.5, 0.75, 0.9, 1)]}


print(json.dumps({
    "made_with": {"scipy": scipy.__version__, "statsmodels": statsmodels.__version__,
                  "lifelines": lifelines.__version__, "numpy": np.__version__},
    "intervals": intervals(),
    "poisson": poisson(),
    "funnel": funnel(),
    "survival": survival(),
    "quantiles": quantiles(),
}, separators=(",", ":")).replace("],[", "],\n["))
