"""What tests/lamp_main answers, against numpy: random problems from a seed.

Cheapest paths: short ones against every path that there is, long ones against
a dynamic programme of our own here. Levels that are followed: against the
normal distribution of the whole series at once. Clusters: small ones against
every way to cut, large ones against a dynamic programme over a table.
"""

import itertools
import subprocess
import sys

import numpy as np

program, seed = sys.argv[1], int(sys.argv[2])
rng = np.random.default_rng(seed)
problems = []  # (line, what checks the answer)
wrong = []


def line(*parts):
    return " ".join(
        part if isinstance(part, str) else " ".join(repr(float(x)) for x in np.atleast_1d(part))
        for part in parts
    )


def near(a, b, within):
    return abs(a - b) <= within * max(1.0, abs(a), abs(b))


# Cheapest paths.


def of_path(states, emission, costs):
    states = np.asarray(states)
    changed = states[1:] != states[:-1]
    return emission[np.arange(len(states)), states].sum() + costs[1:][changed].sum()


def every_path(emission, costs):
    n = len(emission)
    states = (np.arange(2**n)[:, None] >> np.arange(n)) & 1
    total = np.where(states == 1, emission[:, 1], emission[:, 0]).sum(axis=1)
    total += ((states[:, 1:] != states[:, :-1]) * costs[1:]).sum(axis=1)
    return total.min()


def programme(emission, costs):
    total = emission[0].copy()
    for row, cost in zip(emission[1:], costs[1:]):
        step = np.array([[0.0, cost], [cost, 0.0]])
        total = row + (total[:, None] + step).min(axis=0)
    return total.min()


def path(n):
    spread = rng.uniform(0.05, 0.5, 2)
    odd = rng.uniform(2, 12)
    dim = rng.normal(0, 0.3, n).cumsum() * rng.choice([0, 0.3])
    bright = dim + rng.uniform(0.5, 1.5)
    lit = rng.integers(0, 2) + (rng.random(n) < 0.3).cumsum()
    levels = np.where(lit % 2, bright, dim) + rng.normal(0, rng.uniform(0.05, 0.6), n)
    levels += (rng.random(n) < 0.05) * rng.normal(0, 5, n)
    costs = rng.uniform(0.3, 5, n)
    off = levels[:, None] - np.stack([dim, bright], axis=1)
    emission = np.minimum(off**2 / (2 * spread**2) + np.log(spread), odd)
    best = every_path(emission, costs) if n <= 12 else programme(emission, costs)

    def check(answer):
        states = answer[1:].astype(int)
        return (
            len(states) == n
            and near(answer[0], best, 1e-12)
            and near(of_path(states, emission, costs), best, 1e-12)
        )

    problems.append((line("path", n, odd, spread, levels, dim, bright, costs), check))


# Levels that are followed: base and swing are random walks, so that the
# series is one normal vector.


def follow(n):
    swing = rng.uniform(0.5, 3)
    spread = rng.uniform(0.05, 0.5, 2)
    drift, swing_drift = 10 ** rng.uniform(-4, 0.5, 2)
    seconds = rng.uniform(0.01, 0.3, n).cumsum()
    states = (rng.integers(0, 2) + (rng.random(n) < 0.3).cumsum()) % 2
    since = seconds - seconds[0]
    common = np.minimum(since[:, None], since[None, :])
    of_base = 0.25 * swing**2 + drift * common
    of_swing = 0.02 * swing**2 + swing_drift * common
    levels = rng.normal(0, 1, n) + states * swing
    noise = np.diag(spread[states] ** 2)
    both = np.outer(states, states)
    whole = of_base + both * of_swing + noise
    # The walk begins from the middle one of the first three levels.
    first = (levels - states * swing)[:3]
    begin = np.median(first) if n > 2 else first[0]
    off = levels - (begin + states * swing)
    solved = np.linalg.solve(whole, off)
    cost = 0.5 * (np.linalg.slogdet(whole)[1] + off @ solved)
    base = begin + of_base @ solved
    swings = swing + (of_swing * states[None, :]) @ solved

    def check(answer):
        # Our logarithm is good to 1e-5 a sample.
        return (
            len(answer) == 1 + 2 * n
            and abs(answer[0] - cost) < 2e-5 * n
            and np.allclose(answer[1 : n + 1], base, atol=1e-6)
            and np.allclose(answer[n + 1 :], swings, atol=1e-6)
        )

    problems.append(
        (line("follow", n, swing, spread, drift, swing_drift, seconds, levels, states), check)
    )


# Clusters.


def squares(part):
    return ((part - part.mean()) ** 2).sum()


def every_cut(values, k):
    n = len(values)
    return min(
        sum(squares(values[a:b]) for a, b in zip((0,) + cuts, cuts + (n,)))
        for cuts in itertools.combinations(range(1, n), k - 1)
    )


def table_cut(values, k):
    n = len(values)
    one = np.concatenate([[0], values.cumsum()])
    two = np.concatenate([[0], (values**2).cumsum()])
    a, b = np.arange(n + 1)[:, None], np.arange(n + 1)[None, :]
    count = np.maximum(b - a, 1)
    price = np.where(b > a, (two[b] - two[a]) - (one[b] - one[a]) ** 2 / count, np.inf)
    best = price[0]
    for _ in range(k - 1):
        best = (best[:, None] + price).min(axis=0)
    return best[n]


def cut(n, k):
    centres = rng.normal(0, 2, 4)
    values = np.sort(rng.choice(centres, n) + rng.normal(0, rng.uniform(0.02, 1), n))
    if rng.random() < 0.2:
        values = np.sort(np.round(values))
    best = every_cut(values, k) if n <= 13 else table_cut(values, k)

    def check(answer):
        cuts = tuple(answer[1:].astype(int))
        if len(cuts) != k - 1 or list(cuts) != sorted(set(cuts)) or not all(0 < c < n for c in cuts):
            return False
        own = sum(squares(values[a:b]) for a, b in zip((0,) + cuts, cuts + (n,)))
        return near(answer[0], best, 1e-8) and near(own, best, 1e-8)

    problems.append((line("cut", k, n, values), check))


for _ in range(300):
    path(int(rng.integers(1, 13)))
for _ in range(100):
    path(int(rng.integers(13, 1500)))
for _ in range(100):
    follow(int(rng.integers(2, 120)))
for _ in range(200):
    k = int(rng.integers(1, 5))
    cut(int(rng.integers(k, 14)), k)
for _ in range(60):
    cut(int(rng.integers(14, 400)), int(rng.integers(1, 5)))

asked = "\n".join(text for text, _ in problems) + "\n"
run = subprocess.run([program], input=asked, capture_output=True, text=True, check=True)
answers = run.stdout.splitlines()
if len(answers) != len(problems):
    sys.exit(f"{len(problems)} problems, {len(answers)} answers")
for (text, check), answer in zip(problems, answers):
    if not check(np.array(answer.split(), dtype=float)):
        wrong.append(" ".join(text.split()[:4]) + " ... : " + answer[:60])
if wrong:
    sys.exit(f"{len(wrong)} of {len(problems)} differ from numpy:\n" + "\n".join(wrong[:10]))
