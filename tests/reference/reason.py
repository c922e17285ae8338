"""What tests/reason_main answers, against exact fractions and linear programmes.

Random problems from a seed. Shares, factors and conflicts: the definitions in
Python's fractions. Fixes: what the order costs, in fractions, and no other
order is cheaper, by trying all. Trees: what the tree costs, in fractions, and
no tree is cheaper, by glpsol: the largest V(everything) for which V(S) is at
most what each check costs there and V of its parts together.
"""

import itertools
import math
import os
import random
import subprocess
import sys
import tempfile
from fractions import Fraction as F

program, seed = sys.argv[1], int(sys.argv[2])
rng = random.Random(seed)
problems = []  # (line, what checks the answer)


def line(*parts):
    return " ".join(
        " ".join(repr(x) for x in part) if isinstance(part, (list, tuple)) else str(part)
        for part in parts
    )


def near(a, b, within):
    return abs(a - b) <= within * max(1.0, abs(a), abs(b))


def chance():
    kind = rng.random()
    if kind < 0.04:
        return 0.0
    if kind < 0.08:
        return 1.0
    if kind < 0.12:
        return 10 ** rng.uniform(-12, -2)
    if kind < 0.5:
        return rng.choice([0.97, 0.8, 0.4, 0.1, 0.01, 0.03])
    return rng.random()


def priors(causes):
    weights = [0.0 if rng.random() < 0.07 else 10 ** rng.uniform(-6, 3) for _ in range(causes)]
    if sum(weights) == 0:
        weights[0] = 1.0
    return weights


def table(causes, findings):
    return [[chance() for _ in range(causes)] for _ in range(findings)]


# Belief.


def joint(weights, rows):
    """The products, as they are and not scaled; before the findings where all are 0."""
    result = [F(w) for w in weights]
    for row in rows:
        result = [a * F(b) for a, b in zip(result, row)]
    return result if sum(result) > 0 else [F(w) for w in weights]


def posterior():
    causes, findings = rng.randint(1, 30), rng.randint(0, 40)
    weights, rows = priors(causes), table(causes, findings)
    exact = joint(weights, rows)
    whole = sum(exact)
    exact = [float(x / whole) for x in exact]

    def check(answer):
        return len(answer) == causes and all(abs(a - b) <= 1e-12 for a, b in zip(answer, exact))

    problems.append((line("posterior", causes, findings, weights, sum(rows, [])), check))


def factor(weights, row, cause):
    rest = sum(weights) - weights[cause]
    own = F(row[cause])
    if rest == 0:
        return 1 if own > 0 else F(1, 10**6)
    mean = sum(w * F(x) for w, x in zip(weights, row)) - weights[cause] * own
    if mean == 0:
        return 10**6 if own > 0 else 1
    return min(max(own * rest / mean, F(1, 10**6)), 10**6)


def factors():
    causes, findings = rng.randint(1, 12), rng.randint(1, 10)
    weights, rows = priors(causes), table(causes, findings)
    exact = []
    for k, row in enumerate(rows):
        without = joint(weights, rows[:k] + rows[k + 1 :])
        exact += [float(factor(without, row, i)) for i in range(causes)]

    def check(answer):
        return len(answer) == len(exact) and all(
            abs(a - b) <= 1e-9 * b for a, b in zip(answer, exact)
        )

    problems.append((line("factors", causes, findings, weights, sum(rows, [])), check))


# Conflict.


def log2(x):
    return math.log2(x.numerator) - math.log2(x.denominator)


def bits(prior, rows):
    if len(rows) < 2:
        return 0.0
    apart = F(1)
    together = [F(p) for p in prior]
    whole = sum(together)
    for row in rows:
        apart *= sum(F(p) * F(x) for p, x in zip(prior, row)) / whole
        together = [a * F(x) for a, x in zip(together, row)]
    most = 300 * math.log2(10)
    if sum(together) == 0:
        return most
    return min(log2(apart * whole / sum(together)), most)


def conflict():
    causes, findings = rng.randint(1, 20), rng.randint(0, 36)
    prior, rows = priors(causes), table(causes, findings)
    exact = [bits(prior, rows)]
    exact += [bits(prior, rows[:k] + rows[k + 1 :]) for k in range(findings)]

    def check(answer):
        return len(answer) == len(exact) and all(abs(a - b) <= 1e-9 for a, b in zip(answer, exact))

    problems.append((line("conflict", causes, findings, prior, sum(rows, [])), check))


# Fixes. Shares are 64ths, and costs 8ths, so that all is exact.


def repair_cost(order, shares, costs, cluster, opening):
    """64 * 8 times the mean, in whole numbers."""
    left, total, opened = 64, 0, set()
    for i in order:
        price = costs[i]
        if cluster[i] >= 0 and cluster[i] not in opened:
            opened.add(cluster[i])
            price += opening[cluster[i]]
        total += left * price
        left -= shares[i]
    return total


def fixes():
    causes = rng.randint(1, 6)
    cuts = sorted(rng.randint(0, 64) for _ in range(causes - 1))
    shares = [b - a for a, b in zip([0] + cuts, cuts + [64])]
    costs = [rng.randint(1, 80) for _ in range(causes)]
    clusters = rng.choice([0, 0, 1, 2])
    opening = [rng.randint(0, 120) for _ in range(clusters)]
    cluster = [rng.randint(-1, clusters - 1) for _ in range(causes)]
    last = rng.randint(0, causes - 1) if rng.random() < 0.3 else -1
    # Those without a share come after all others, by cost.
    free = [i for i in range(causes) if i != last and shares[i] > 0]
    idle = sorted((costs[i], i) for i in range(causes) if i != last and shares[i] == 0)
    tail = [i for _, i in idle]
    if last >= 0:
        tail = [last] + tail if shares[last] > 0 else tail + [last]
    best = min(
        repair_cost(list(order) + tail, shares, costs, cluster, opening)
        for order in itertools.permutations(free)
    )

    def check(answer):
        order = [int(x) for x in answer[1:]]
        if sorted(order) != list(range(causes)) or order[len(free) :] != tail:
            return False
        own = repair_cost(order, shares, costs, cluster, opening)
        return near(answer[0], best / 512, 1e-12) and own == best

    problems.append(
        (
            line(
                "fixes",
                causes,
                clusters,
                last,
                [s / 64 for s in shares],
                [c / 8 for c in costs],
                cluster,
                [o / 8 for o in opening],
            ),
            check,
        )
    )


# Trees.


class Programme:
    """Linear programmes of many tables in one, each with names of its own.

    In thousandths, and not simplified before it is solved: glpsol takes for
    nothing what is below 1e-7 then, and what is below 1e-3 before.
    """

    def __init__(self):
        self.rows, self.names, self.goals = [], {}, []

    def variable(self, key):
        return self.names.setdefault(key, f"v{len(self.names)}")

    def solve(self):
        with tempfile.TemporaryDirectory() as folder:
            model, result = os.path.join(folder, "m.lp"), os.path.join(folder, "m.out")
            with open(model, "w") as file:
                file.write("Maximize\n goal: " + "\n + ".join(self.goals) + "\nSubject To\n")
                file.writelines(f" {row}\n" for row in self.rows)
                file.write("End\n")
            run = subprocess.run(
                ["glpsol", "--nopresol", "--lp", model, "--write", result],
                capture_output=True,
                text=True,
            )
            if run.returncode != 0 or "OPTIMAL" not in run.stdout:
                sys.exit("glpsol: " + run.stdout[-300:])
            with open(result) as file:
                words = [text.split() for text in file]
        # Columns come in the order in which the file first names them.
        order = {}
        for text in ["\n".join(self.goals)] + self.rows:
            for word in text.split():
                if word.startswith("v"):
                    order.setdefault(word, len(order) + 1)
        values = {int(w[1]): float(w[3]) / 1000 for w in words if w and w[0] == "j"}
        return {name: values[at] for name, at in order.items()}


programmes = [Programme()]


def parts_of(some, row):
    parts = {}
    for i in some:
        parts.setdefault(row[i], []).append(i)
    return [tuple(part) for part in parts.values()]


def add_table(weights, costs, rows, state, setup, begin):
    """Into the last programme; returns it and the name of V(everything)."""
    if len(programmes[-1].rows) > 6000:
        programmes.append(Programme())
    programme = programmes[-1]
    whole = sum(weights)
    start = (tuple(range(len(weights))), begin)
    mark = len(programme.goals)
    todo, seen = [start], {start}
    while todo:
        some, at = todo.pop()
        name = programme.variable((mark, some, at))
        share = sum(weights[i] for i in some) / whole
        told = False
        for j, row in enumerate(rows):
            parts = parts_of(some, row)
            if len(parts) < 2:
                continue
            told = True
            text = name
            for part in parts:
                next_one = (part, state[j])
                text += " - " + programme.variable((mark, *next_one))
                if next_one not in seen:
                    seen.add(next_one)
                    todo.append(next_one)
            programme.rows.append(f"{text} <= {(costs[j] + setup[at][state[j]]) * share * 1000!r}")
        if not told:
            programme.rows.append(f"{name} <= 0")
    goal = programme.variable((mark, *start))
    programme.goals.append(goal)
    return programme, goal


def tree_cost(words, some, at, weights, costs, rows, state, setup):
    """Reads a tree off `words`; what it costs, or None where it is no tree."""
    check, count = int(next(words)), int(next(words))
    if check < 0:
        causes = [int(next(words)) for _ in range(count)]
        alike = all(len(parts_of(some, row)) == 1 for row in rows)
        return F(0) if causes == list(some) and alike else None
    total = sum(F(weights[i]) for i in some)
    total *= F(costs[check]) + F(setup[at][state[check]])
    seen = []
    for _ in range(count):
        outcome = int(next(words))
        part = tuple(i for i in some if rows[check][i] == outcome)
        more = tree_cost(words, part, state[check], weights, costs, rows, state, setup)
        if more is None or not part:
            return None
        seen.append(outcome)
        total += more
    return total if seen == sorted({rows[check][i] for i in some}) else None


def plan(causes, checks, states):
    weights = [rng.uniform(0.01, 1) ** rng.choice([1, 3]) for _ in range(causes)]
    if causes > 1 and rng.random() < 0.15:
        weights[rng.randrange(causes)] = 0.0
    costs = [rng.choice([1.0, rng.uniform(1, 10)]) for _ in range(checks)]
    if checks and rng.random() < 0.1:
        costs[rng.randrange(checks)] = 0.0
    outcomes = rng.choice([2, 2, 3])
    dense = rng.choice([0.5, 0.3, 0.15])
    rows = [
        [rng.randrange(1, outcomes) if rng.random() < dense else 0 for _ in range(causes)]
        for _ in range(checks)
    ]
    if checks > 1 and rng.random() < 0.1:
        rows[0] = rows[1]
    if causes > 1 and rng.random() < 0.15:  # two that nothing tells apart
        for row in rows:
            row[0] = row[1]
    state = [rng.randrange(states) for _ in range(checks)]
    setup = [
        [0.0 if a == b else rng.uniform(0, 8) for b in range(states)] for a in range(states)
    ]
    # No detour is shorter.
    for k, a, b in itertools.product(range(states), repeat=3):
        setup[a][b] = min(setup[a][b], setup[a][k] + setup[k][b])
    begin = rng.randrange(states)
    programme, goal = add_table(weights, costs, rows, state, setup, begin)
    everything = tuple(range(causes))

    def check(answer):
        least = programme.values[goal]
        words = iter(answer[4:])
        own = tree_cost(words, everything, begin, weights, costs, rows, state, setup)
        if own is None or next(words, None) is not None:
            return False
        own = float(own / sum(F(w) for w in weights))
        return (
            answer[2] == 1
            and near(answer[0], own, 1e-9)
            and near(own, least, 1e-6)
            and near(answer[1], answer[0], 1e-9)
        )

    problems.append(
        (
            line(
                "plan",
                causes,
                checks,
                states,
                begin,
                weights,
                costs,
                sum(rows, []),
                state,
                sum(setup, []),
            ),
            check,
        )
    )


for _ in range(300):
    posterior()
    fixes()
for _ in range(150):
    factors()
    conflict()
for _ in range(150):
    plan(rng.randint(1, 9), rng.randint(0, 9), 1)
for _ in range(80):
    plan(rng.randint(1, 6), rng.randint(0, 7), rng.randint(2, 3))
for programme in programmes:
    programme.values = programme.solve()

asked = "\n".join(text for text, _ in problems) + "\n"
run = subprocess.run([program], input=asked, capture_output=True, text=True)
answers = run.stdout.splitlines()
if run.returncode != 0 or len(answers) != len(problems):
    sys.exit(f"{len(problems)} problems, {len(answers)} answers: {run.stderr[-300:]}")
wrong = []
for (text, check), answer in zip(problems, answers):
    if not check([float(x) for x in answer.split()]):
        wrong.append(text[:120] + " ... : " + answer[:60])
if wrong:
    sys.exit(f"{len(wrong)} of {len(problems)} differ:\n" + "\n".join(wrong[:10]))
