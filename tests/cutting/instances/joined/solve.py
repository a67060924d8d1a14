"""Makes orders with pieces that are joined, and solves them with a general mixed-integer solver; the README of the folder
above says what is asked and what came of it.

    python3 solve.py make 80 > orders.txt
    python3 solve.py solve orders.txt > answers.csv

Made the answers with Python 3.11, scipy 1.17.1 and the HiGHS solver inside it. It knows nothing of the planner: every
stick is a row of choices (which stock, how many of each piece, which long pieces have a part on it, how long each part
is). Parts are continuous there; with all choices made, what is left is a transport problem in whole numbers, so that
there is a solution in whole units that costs the same.
"""

import math
import random
import sys
from multiprocessing import Pool

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

SECONDS = 60


def make(seed):
    """An order in eighths of an inch and cents; prices are invented."""
    dice = random.Random(seed)
    long_stick = dice.choice([960, 960, 960, 1920])
    price = dice.randint(600, 1200) * long_stick // 960
    lines = [f"order joined-{seed:03}", f"kerf {dice.choice([0, 1, 1])}"]
    lines.append(f"joint {dice.choice([0, dice.randint(20, 90), dice.randint(100, 250), dice.randint(300, 700)])}")
    lines.append(f"shortest {dice.choice([16, 16, 48, 96])}")
    lines.append(f"stock {long_stick} {price} any")
    if dice.random() < 0.65:
        lines.append(f"stock {long_stick // 2} {price * dice.randint(51, 62) // 100} any")
    for _ in range(dice.choice([0, 0, 1, 1, 2])):
        lines.append(f"stock {dice.randint(long_stick // 5, long_stick * 9 // 10)} 0 {dice.choice([1, 1, 2])}")
    left = dice.randint(10, 40) if seed % 2 else dice.randint(10, 20)
    most = long_stick * dice.choice([3, 5, 9]) // 10
    while left > 0:
        count = min(left, dice.choice([1, 1, 2, 2, 3, 4]))
        lines.append(f"piece {dice.randint(48, most)} {count}")
        left -= count
    for _ in range(dice.choice([3, 3, 4]) if seed % 2 else dice.choice([2, 3, 3])):
        count = dice.choice([1, 1, 1, 2]) if seed % 2 else 1
        lines.append(f"long {dice.randint(long_stick + 1, long_stick * 5 // 2)} {count}")
    return "\n".join(lines)


def read(text):
    orders = []
    for line in text.splitlines():
        words = line.split()
        if not words or words[0] == "#":
            continue
        if words[0] == "order":
            orders.append({"name": words[1], "kerf": 0, "joint": 0, "shortest": 0, "stock": [], "piece": [], "long": []})
        elif words[0] in ("kerf", "joint", "shortest"):
            orders[-1][words[0]] = int(words[1])
        elif words[0] == "stock":
            orders[-1]["stock"].append((int(words[1]), int(words[2]), None if words[3] == "any" else int(words[3])))
        else:
            orders[-1][words[0]].append((int(words[1]), int(words[2])))
    return orders


def rough(order):
    """A number of sticks of which there is any number that is enough, and what that plan costs."""
    kerf, joint = order["kerf"], order["joint"]
    sticks = [(length, price) for length, price, most in order["stock"] if most is None]
    length, price = max(sticks)
    begun, joints = [], 0
    pieces = [piece for piece, count in order["piece"] for _ in range(count)]
    for long, count in order["long"]:
        for _ in range(count):
            parts = -(-long // length)
            joints += parts - 1
            # As long as can be, but the last two not too short.
            rest = long
            for after in reversed(range(parts)):
                part = min(length, rest - after * order["shortest"])
                pieces.append(part)
                rest -= part
    for piece in sorted(pieces, reverse=True):
        for at, room in enumerate(begun):
            if piece + kerf <= room:
                begun[at] -= piece + kerf
                break
        else:
            begun.append(length - piece)
    return len(begun) * price + joints * joint


def solve(order):
    kerf, joint, shortest = order["kerf"], order["joint"], max(order["shortest"], 1)
    pieces = sorted(order["piece"], reverse=True)
    longs = [long for long, count in order["long"] for _ in range(count)]
    most = rough(order)
    total = sum((w + kerf) * n for w, n in pieces) + sum(longs)
    # No more sticks than what they may cost at most allows, and no more than pieces and parts could ask for.
    slots = []
    for length, price, available in sorted(order["stock"], reverse=True):
        number = most // price if price else available
        number = min(number, total // length + len(longs) + 3, 10**9 if available is None else available)
        slots.append((length, price, int(number)))
    columns, cost, low, high, whole = [], [], [], [], []
    rows, row_low, row_high = [], [], []

    def column(price, least, greatest, integral):
        cost.append(price)
        low.append(least)
        high.append(greatest)
        whole.append(int(integral))
        return len(cost) - 1

    def row(terms, least, greatest):
        rows.extend((len(row_low), at, value) for at, value in terms)
        row_low.append(least)
        row_high.append(greatest)

    made = [[] for _ in pieces]
    parts = [[] for _ in longs]
    lengths = [[] for _ in longs]
    opened, every = [], []
    for length, price, number in slots:
        before, before_used = None, None
        for _ in range(number):
            stick = column(price, 0, 1, True)
            opened.append((stick, length + kerf))
            used = []
            for at, (piece, count) in enumerate(pieces):
                if piece <= length:
                    put = column(0, 0, min(count, (length + kerf) // (piece + kerf)), True)
                    made[at].append(put)
                    used.append((put, piece + kerf))
            for at, long in enumerate(longs):
                has = column(joint, 0, 1, True)
                part = column(0, 0, min(length, long), False)
                row([(part, 1), (has, -min(length, long))], -numpy.inf, 0)
                row([(part, 1), (has, -shortest)], 0, numpy.inf)
                parts[at].append(has)
                lengths[at].append(part)
                used.extend([(has, kerf), (part, 1)])
            row(used + [(stick, -(length + kerf))], -numpy.inf, 0)
            if before is not None:
                row([(before, 1), (stick, -1)], 0, numpy.inf)
            before = stick
    for puts, (_, count) in zip(made, pieces):
        row([(put, 1) for put in puts], count, count)
    for has, part, long in zip(parts, lengths, longs):
        row([(at, 1) for at in part], long, long)
    row([(at, value) for at, value in enumerate(cost) if value], 0, most + joint * len(longs))
    row(opened, total, numpy.inf)
    r, c, v = zip(*rows)
    matrix = coo_matrix((v, (r, c)), shape=(len(row_low), len(cost)))
    gap = 0.9 / max(1, most)
    found = milp(numpy.array(cost, float), constraints=LinearConstraint(matrix.tocsr(), row_low, row_high),
                 integrality=whole, bounds=Bounds(low, high), options={"mip_rel_gap": gap, "time_limit": SECONDS})
    taken = joint * len(longs)
    bound = 0 if found.mip_dual_bound is None else max(0, math.ceil(found.mip_dual_bound - taken - 0.01))
    if found.x is None:
        return order["name"], "", bound
    x = [round(value) if integral else value for value, integral in zip(found.x, whole)]
    # The choice is looked at again: each piece, each length, each stick. Floats may be off by a thousandth of a unit.
    values = matrix.tocsr() @ numpy.array(x)
    assert all(a - 0.001 <= value <= b + 0.001 for value, a, b in zip(values, row_low, row_high)), order["name"]
    least = round(sum(value * price for value, price in zip(x, cost))) - taken
    return order["name"], least, min(bound, least)


if __name__ == "__main__":
    if sys.argv[1] == "make":
        print("\n\n".join(make(seed) for seed in range(1, 1 + int(sys.argv[2]))))
    else:
        orders = read(open(sys.argv[2]).read())
        print("order,cost,bound", flush=True)
        with Pool(int(sys.argv[3]) if len(sys.argv) > 3 else 2) as pool:
            for name, least, bound in pool.imap(solve, orders):
                print(f"{name},{least},{bound}", flush=True)
