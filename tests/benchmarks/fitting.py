"""Stepping and stabbing against their integer programs at 200 places: times and their ratio.

Run with `PYTHONPATH=.:tests/validation python tests/benchmarks/fitting.py`. Nothing is asserted:
the optima are compared in tests/validation/test_milp_reference.py.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import partial
from statistics import median
from time import perf_counter

import numpy as np

from milp_programs import draw_intervals, draw_places, stabbed_by_milp, stepped_by_milp
from survey.wall.ladder import Ladder
from survey.wall.stabbing import fewest_settings
from survey.wall.stepping import fewest_runs

FREE = (92.31, 92.625)


def seconds(work: Callable[[], object], *, repeats: int) -> float:
    """Least time of some runs: the one least disturbed."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def measure(count: int, draws: int) -> list[tuple[str, float, float]]:
    """Median time of the program and of ours over drawn instances, one row a task."""
    stepped, stabbed = [], []
    for draw in range(draws):
        rng = np.random.default_rng([count, draw])
        p = draw_places(rng, count, width=0.3, free=FREE)
        ladder = Ladder(step=p.step, free=FREE)
        ours = seconds(partial(fewest_runs, p.low, p.high, p.peak, ladder), repeats=20)
        stepped.append((seconds(partial(stepped_by_milp, p), repeats=1), ours))
        q = draw_intervals(rng, count, free=FREE)
        ours = seconds(partial(fewest_settings, q.low, q.high, ladder), repeats=20)
        stabbed.append((seconds(partial(stabbed_by_milp, q), repeats=1), ours))
    return [
        (name, median(a for a, _ in times), median(b for _, b in times))
        for name, times in (("stepping", stepped), ("stabbing", stabbed))
    ]


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--draws", type=int, default=5)
    chosen = parser.parse_args()
    print(f"{'task':10} {'program':>10} {'ours':>10} {'ratio':>8}   at {chosen.count} places")
    for name, program, ours in measure(chosen.count, chosen.draws):
        print(f"{name:10} {program * 1e3:8.1f}ms {ours * 1e3:8.3f}ms {program / ours:7.0f}x")


if __name__ == "__main__":
    main()
