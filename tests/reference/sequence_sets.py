"""Cuts random flitches into sets with a general solver, for comparison with the program's own answers.

Needs ortools (9.15 was used) and numpy. Writes one line of JSON: for each seed [sets filled, flitches used, longest
spare run], each proven optimal in turn with those before it held fixed.

    python3 tests/reference/sequence_sets.py > tests/reference/sequence_sets.json
"""

import json
import sys

import numpy as np
from ortools.sat.python import cp_model

MASK = (1 << 64) - 1


class Dice:
    """The same numbers as `Dice` in tests/all/sequence_dice.rs."""

    def __init__(self, seed):
        self.state = seed

    def roll(self, low, high):
        self.state ^= (self.state << 13) & MASK
        self.state ^= self.state >> 7
        self.state ^= (self.state << 17) & MASK
        return low + (self.state >> 11) % (high - low + 1)


def case(seed, windows):
    dice = Dice(seed * 7919 + 12345)
    for _ in range(8):
        dice.roll(0, 1)
    flitches = []
    for _ in range(dice.roll(2, 5)):
        number, leaves = 0, []
        for _ in range(dice.roll(6, 24)):
            number += dice.roll(2, 3) if dice.roll(0, 5) == 0 else 1
            size, defects = (48, 96), []
            if windows:
                size = (dice.roll(46, 48), dice.roll(94, 96))
                for _ in range(dice.roll(0, 3)):
                    left, butt = dice.roll(0, 46), dice.roll(0, 90)
                    defects.append((left, butt, dice.roll(1, 6), dice.roll(1, 20)))
            leaves.append((number, size, defects))
        flitches.append(leaves)
    low = dice.roll(2, 5)
    high = low + dice.roll(1, 5)
    sets = [dice.roll(low, high) for _ in range(dice.roll(4, 16))]
    one_flitch = dice.roll(0, 5) == 0
    clear = (dice.roll(12, 30), dice.roll(30, 70)) if windows else None
    return flitches, sets, one_flitch, clear


def free(leaf, clear):
    """Where on a grid of 1 the window's corner may lie; all edges are whole, so the grid loses nothing."""
    _, size, defects = leaf
    grid = np.zeros((50, 100), dtype=bool)
    grid[: max(0, size[0] - clear[0] + 1), : max(0, size[1] - clear[1] + 1)] = True
    for left, butt, across, along in defects:
        grid[max(0, left - clear[0] + 1) : left + across, max(0, butt - clear[1] + 1) : butt + along] = False
    return grid


def solve(flitches, sets, one_flitch, clear):
    model = cp_model.CpModel()
    sizes = sorted(set(sets))
    starts, used, cover, spare = [], [], {}, []
    for f, leaves in enumerate(flitches):
        used.append(model.NewBoolVar(f"u{f}"))
        grids = [free(leaf, clear) if clear else np.ones((1, 1), dtype=bool) for leaf in leaves]
        good = [grid.any() for grid in grids]
        cover.update({(f, i): [] for i in range(len(leaves))})
        for i in range(len(leaves)):
            shared = np.ones_like(grids[i])
            for j in range(i, len(leaves)):
                shared = shared & grids[j]
                consecutive = leaves[j][0] - leaves[i][0] == j - i and all(good[i : j + 1])
                if not consecutive:
                    break
                block = model.NewBoolVar(f"s{f},{i},{j}")
                spare.append((j - i + 1, block))
                for k in range(i, j + 1):
                    cover[f, k].append(block)
                size = j - i + 1
                if size in sizes and shared.any():
                    start = model.NewBoolVar(f"y{f},{i},{size}")
                    starts.append((size, start))
                    model.AddImplication(start, used[f])
                    for k in range(i, j + 1):
                        cover[f, k].append(start)
    for literals in cover.values():
        if literals:
            model.AddAtMostOne(literals)
    for size in sizes:
        model.Add(sum(start for s, start in starts if s == size) <= sets.count(size))
    if one_flitch:
        model.AddAtMostOne(used)
    model.AddAtMostOne(block for _, block in spare)
    answer = []
    for goal, sense in (
        (sum(start for _, start in starts), 1),
        (sum(used), -1),
        (sum(size * block for size, block in spare), 1),
    ):
        if isinstance(goal, int):
            answer.append(goal)
            continue
        (model.Maximize if sense > 0 else model.Minimize)(goal)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        if solver.Solve(model) != cp_model.OPTIMAL:
            sys.exit("not optimal")
        value = round(solver.ObjectiveValue())
        model.Add(goal == value)
        answer.append(value)
    return answer


if __name__ == "__main__":
    answers = {}
    for name, windows in (("plain", False), ("windows", True)):
        answers[name] = [solve(*case(seed, windows)) for seed in range(1, 201)]
    print(json.dumps(answers, separators=(",", ":")))
