"""The Monte Carlo model of `evaluate.rs`, vectorised in NumPy: the yardstick for its speed.

The same inputs with the same distributions, divided as there, the same tables, and both ends and the median of all draws.
The quickest way that NumPy has: its quickest generator (SFC64), numbers drawn into arrays that are made once, everything
worked out in place, in blocks that stay in the processor's own memory, and no loop over draws. Best of seven runs on one
thread, in the time that the processor worked for it. Run by the benchmark where a Python with NumPy is found (`PYTHON`
names another one):

    cargo bench --package stainbook-tests --bench evaluate
"""

import json
import sys
import time

import numpy as np

DRAWS = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
BLOCK = 25_000
COVERAGE = 0.95

T_AT, T_FACTOR = np.array([-5.0, 5.0, 20.0, 45.0]), np.array([1.42, 1.20, 1.00, 0.75])
H_AT, H_FACTOR = np.array([10.0, 50.0, 95.0]), np.array([1.12, 1.00, 0.91])

OUTCOME = np.empty(DRAWS)
DRAWN, DIVISOR = np.empty(BLOCK), np.empty(BLOCK)


def trials(rng, value):
    drawn, divisor = DRAWN[: len(value)], DIVISOR[: len(value)]

    def uniform(half_width):
        rng.random(out=drawn)
        np.subtract(drawn, 0.5, out=drawn)
        return np.multiply(drawn, 2.0 * half_width, out=drawn)

    def normal(standard):
        rng.standard_normal(out=drawn)
        return np.multiply(drawn, standard, out=drawn)

    np.add(uniform(3.0), 8.0, out=value)
    value += uniform(1.0)
    # What belongs to the stain.
    np.add(normal(0.1276), 1.0, out=divisor)
    divisor += normal(0.10)
    divisor += uniform(0.05)
    outside = divisor <= 0.0
    value /= divisor
    value *= 2.4 * 101.3
    # `interp` takes what lies outside at the end.
    value *= np.interp(np.add(uniform(1.0), 12.0, out=drawn), T_AT, T_FACTOR)
    value *= np.interp(np.add(uniform(5.0), 48.0, out=drawn), H_AT, H_FACTOR)
    value /= np.add(uniform(0.475), 95.0, out=drawn)
    # What belongs to the result.
    np.add(uniform(0.0208), 1.0, out=divisor)
    divisor += uniform(0.004)
    divisor += uniform(0.005)
    value /= divisor
    np.maximum(value, 0.0, out=value)
    value[outside] = np.inf


def run(rng):
    for start in range(0, DRAWS, BLOCK):
        trials(rng, OUTCOME[start : start + BLOCK])
    covered = int(COVERAGE * DRAWS + 0.5)
    low = (DRAWS - covered + 1) // 2 - 1
    ranks = [low, DRAWS // 2, low + covered]
    OUTCOME.partition(ranks)
    return dict(zip(["low", "median", "high"], OUTCOME[ranks]))


best, found = float("inf"), None
for seed in range(7):
    rng = np.random.Generator(np.random.SFC64(seed))
    start = time.thread_time()
    found = run(rng)
    best = min(best, time.thread_time() - start)
print(json.dumps({"numpy": np.__version__, "seconds": best, **found}))
