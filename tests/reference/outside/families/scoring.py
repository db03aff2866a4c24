"""What drill runs are scored with: orders of steps."""

import itertools
import random

from scipy.stats import kendalltau

STEPS = "abcdefgh"


def longest_in_order(order, rules):
    """By trying every part: the largest one in which no rule is broken."""
    after = {pair for pair in rules}
    for middle, first, last in itertools.product(STEPS, repeat=3):
        if (first, middle) in after and (middle, last) in after:
            after.add((first, last))
    for count in range(len(order), 0, -1):
        for part in itertools.combinations(order, count):
            if not any((b, a) in after for a, b in itertools.combinations(part, 2)):
                return count
    return 0


def orders():
    """Orders of steps under a chain of rules, where the library's tau is ours, and under
    rules that leave some steps free."""
    chance = random.Random("orders")
    rows = []
    for at in range(60):
        size = chance.randint(3, len(STEPS))
        steps = list(STEPS[:size])
        rules = list(zip(steps, steps[1:]))
        if at % 2:
            rules = [pair for pair in itertools.combinations(steps, 2) if chance.random() < 0.35]
        chance.shuffle(steps)
        row = {"order": "".join(steps), "rules": ["".join(pair) for pair in rules],
               "longest": longest_in_order(steps, rules)}
        if not at % 2:
            tau = kendalltau(range(size), [STEPS.index(step) for step in steps]).statistic
            row["tau"] = round(float(tau), 9)
        rows.append(row)
    return rows


OTHERS = {
    "orders": {"by": "scipy.stats.kendalltau, itertools", "rows": orders()},
}
