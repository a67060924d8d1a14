"""Solves generated buying plans with a general mixed-integer solver; README.md beside it says what is asked.

Made the answers with Python 3.11.7, scipy 1.17.1 and the HiGHS solver inside it.
The optimum is checked here: the choice is added up again in whole cents, and the solver's own bound, rounded up to the
cent, must meet it.
"""

import csv
import decimal
import math
import re
import sys
from decimal import Decimal
from multiprocessing import Pool
from pathlib import Path

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

TODAY = "2026-03-01"
HALF_AWAY = decimal.ROUND_HALF_UP


def rounded(number, places):
    six = number.quantize(Decimal("0.000001"), HALF_AWAY)
    return six.quantize(Decimal(1).scaleb(-places), HALF_AWAY)


def net(price, discounts):
    for points in filter(None, discounts.split("+")):
        price = price * (100 - Decimal(points)) / 100
    return rounded(price, 4)


def tiers(row):
    found = [(1, net(Decimal(row["price"]), row["discount"]))]
    for one in filter(None, row["breaks"].split(";")):
        packs, price = one.split(":")
        found.append((int(packs), net(Decimal(price.strip()), row["discount"])))
    return found


def at(prices, count):
    return [price for start, price in prices if count >= start][-1]


class Bag:
    def __init__(self, row):
        self.holds = int(row["pack"])
        self.prices = tiers(row)

    def cost(self, count):
        return 0 if count == 0 else count * int(rounded(at(self.prices, count), 2) * 100)


class Loose:
    def __init__(self, row):
        self.per = 100 if row["per"] == "100" else 1
        self.prices = tiers(row)

    def cost(self, count):
        return 0 if count == 0 else int(rounded(at(self.prices, count) * count / self.per, 2) * 100)


def every_way(need, bags, loose, most):
    """All sums up to `most` for which what is needed can be had. Without `most`: the least sum."""
    sums = set()

    def fill(index, rest, spent):
        if index < len(bags):
            bag = bags[index]
            last = max(math.ceil(max(rest, 0) / bag.holds), bag.prices[-1][0])
            count = 0
            while True:
                sum_now = spent + bag.cost(count)
                over = most is not None and sum_now > most
                if over and count > last:
                    return
                if most is None and count > last:
                    return
                if not over:
                    fill(index + 1, rest - count * bag.holds, sum_now)
                count += 1
        elif loose is None:
            if rest <= 0:
                sums.add(spent)
        else:
            count = max(rest, 0)
            last = max(count, loose.prices[-1][0])
            while True:
                sum_now = spent + loose.cost(count)
                if most is None or sum_now <= most:
                    sums.add(sum_now)
                elif count > last:
                    return
                if most is None and count > last:
                    return
                count += 1

    fill(0, need, 0)
    return {min(sums)} if most is None and sums else sums


class Plan:
    def __init__(self, folder):
        rows = lambda name: list(csv.DictReader(open(folder / name)))
        needs = {row["part"]: int(row["quantity"]) for row in rows("patterns.csv")}
        for row in rows("on-hand.csv"):
            needs[row["part"]] = max(0, needs[row["part"]] - int(row["quantity"]))
        self.parts = [part for part, need in needs.items() if need > 0]
        self.needs = needs
        self.terms = {r["supplier"]: (100 * int(r["delivery fee"]), 100 * int(r["least order"]))
                      for r in rows("suppliers.csv")}
        self.names = list(self.terms)
        self.offers = {}
        for row in rows("prices.csv"):
            if row["good until"] < TODAY:
                continue
            bags, loose = self.offers.setdefault((row["part"], row["supplier"]), ([], []))
            (bags if row["sold as"] == "bag" else loose).append(Bag(row) if row["sold as"] == "bag" else Loose(row))
        self.least = {}
        for (part, name), (bags, loose) in self.offers.items():
            if needs[part] > 0:
                assert len(loose) <= 1
                self.least[part, name] = min(every_way(needs[part], bags, loose[0] if loose else None, None))
        sold = {part for part, _ in self.least}
        self.parts = [part for part in self.parts if part in sold]

    def solve(self, names, most, with_least, window=0, filled=None):
        """The least sum in cents. Lines are bought for their least or for up to `window` more. With `filled` a bound
        only: orders are filled up with any part of a cent, by so much together at least."""
        columns, costs, rows = [], [], []
        for name in names:
            columns.append(("open", name))
            costs.append(self.terms[name][0])
        for part in self.parts:
            sold = [name for name in names if (part, name) in self.least]
            if not sold:
                return None
            for name in sold:
                base = self.least[part, name]
                columns.append(("line", part, name, base))
                costs.append(base)
                if window and filled is None and with_least and self.terms[name][1] > 0:
                    bags, loose = self.offers[part, name]
                    ways = every_way(self.needs[part], bags, loose[0] if loose else None, base + window)
                    for cost in sorted(ways - {base}):
                        columns.append(("line", part, name, cost))
                        costs.append(cost)
        for name in names if filled is not None else []:
            columns.append(("fill", name))
            costs.append(1)
        place = {name: index for index, name in enumerate(names)}
        of_part, of_pair, of_name = {}, {}, {name: [] for name in names}
        for index, column in enumerate(columns):
            if column[0] == "line":
                of_part.setdefault(column[1], []).append(index)
                of_pair.setdefault(column[1:3], []).append(index)
                of_name[column[2]].append(index)
        entries = []  # (row, column, value)
        low, high = [], []

        def add(terms, least, greatest):
            entries.extend((len(low), column, value) for column, value in terms)
            low.append(least)
            high.append(greatest)

        for indices in of_part.values():
            add([(index, 1) for index in indices], 1, 1)
        for (_, name), indices in of_pair.items():
            add([(index, 1) for index in indices] + [(place[name], -1)], -numpy.inf, 0)
        add([(index, 1) for index in place.values()], 0, most)
        if with_least:
            for name in names:
                if self.terms[name][1] > 0:
                    goods = [(index, columns[index][3] / 100) for index in of_name[name]]
                    fill = [(i, 0.01) for i, column in enumerate(columns) if column == ("fill", name)]
                    add(goods + fill + [(place[name], -self.terms[name][1] / 100)], 0, numpy.inf)
        fills = [(index, 1) for index, column in enumerate(columns) if column[0] == "fill"]
        if filled is not None:
            add(fills, filled, numpy.inf)
        r, c, v = zip(*entries)
        matrix = coo_matrix((v, (r, c)), shape=(len(low), len(columns)))
        # Costs are whole cents: a gap below one cent is none.
        gap = 0.9 / (2 * sum(min(self.least[part, n] for n in names if (part, n) in self.least) for part in self.parts))
        result = milp(numpy.array(costs), constraints=LinearConstraint(matrix.tocsr(), low, high),
                      integrality=[column[0] != "fill" for column in columns],
                      bounds=Bounds(0, [numpy.inf if column[0] == "fill" else 1 for column in columns]),
                      options={"mip_rel_gap": gap, "time_limit": 300})
        if result.status == 2:
            return None
        if result.status == 1:
            raise TimeoutError(result.message)
        assert result.status == 0, result.message
        if filled is not None:
            return math.ceil(result.mip_dual_bound - 0.01)
        taken = [index for index, value in enumerate(result.x) if value > 0.5]
        total = sum(costs[index] for index in taken)
        goods = {name: sum(columns[i][3] for i in taken if columns[i][0] == "line" and columns[i][2] == name)
                 for name in names}
        opened = {columns[i][1] for i in taken if columns[i][0] == "open"}
        assert all(goods[name] == 0 for name in names if name not in opened)
        if with_least:
            assert all(goods[name] >= self.terms[name][1] for name in opened)
        assert len([1 for i in taken if columns[i][0] == "line"]) == len(self.parts)
        proven = math.ceil(result.mip_dual_bound - 0.01)
        assert proven >= total, (proven, total)
        return total

    def least_sum(self, names, most):
        """With the ways to buy more than the least taken in as far as they can be of use: where orders are filled up
        by more than the window, the bound must not be below what was found."""
        without = self.solve(names, most, False)
        if without is None:
            return None, None
        window = 200
        while window < 1_000_000:
            found = self.solve(names, most, True, window)
            if found is not None:
                beyond = self.solve(names, most, True, filled=window)
                if beyond is None or found <= beyond:
                    return found, without
            window *= 3
        return None, without


def solved(plan, folder, most):
    """The line of answers of one plan: its seed, and the least of up to so many suppliers, of two, of one, and by rows alone."""
    money = lambda cents: "" if cents is None else f"{cents // 100}.{cents % 100:02}"
    least, without = plan.least_sum(plan.names, most)
    two, _ = plan.least_sum(plan.names, 2)
    ones = [plan.least_sum([name], 1)[0] for name in plan.names]
    one = min((one for one in ones if one is not None), default=None)
    seed = int(re.search(r"\d+$", folder.name).group())
    return seed, ",".join([str(seed), *map(money, [least, two, one, without])])


def answer(folder):
    try:
        return solved(Plan(folder), folder, 5)
    except TimeoutError:
        return None, f"{folder.name}: not solved in time"


def print_answers(answer, start):
    """Prints the answers of all plans whose folders start so, by seed."""
    folders = sorted(path for path in Path(sys.argv[1]).iterdir() if path.name.startswith(start))
    with Pool(2) as pool:
        lines = []
        for seed, line in pool.imap_unordered(answer, folders):
            print(line, file=sys.stderr, flush=True)
            if seed is not None:
                lines.append((seed, line))
    print("seed,least,two,one,without")
    for _, line in sorted(lines):
        print(line)


if __name__ == "__main__":
    print_answers(answer, "plan-")
