"""The loop of loop.go in NumPy: whole columns, or blocks of so many draws.

Usage: loop.py seed draws block rounds; prints the mean and the fewest nanoseconds
per draw of all rounds. Sampling is by the inverse of the distribution, or by
Generator.triangular where the block is given as a negative number.
"""
import sys
import time

import numpy as np

from formula import RANGES, formula


def sample(rng, low, likely, high, n):
    width = high - low
    u = rng.random(n)
    return np.where(u < (likely - low) / width,
                    low + np.sqrt(u * (width * (likely - low))),
                    high - np.sqrt((1 - u) * (width * (high - likely))))


def mean(rng, draws, block, library):
    total = 0.0
    for at in range(0, draws, block):
        n = min(block, draws - at)
        if library:
            x = [rng.triangular(low, likely, high, n) for low, likely, high in RANGES]
        else:
            x = [sample(rng, low, likely, high, n) for low, likely, high in RANGES]
        total += float(np.sum(formula(*x)))
    return total / draws


seed, draws, block, rounds = (int(a) for a in sys.argv[1:5])
library, block = block < 0, abs(block)
best = float("inf")
for _ in range(rounds):
    rng = np.random.default_rng(seed)
    start = time.perf_counter_ns()
    m = mean(rng, draws, block, library)
    best = min(best, (time.perf_counter_ns() - start) / draws)
print(repr(m), best)
