"""Solves generated buying plans of tube whose prices have breaks with a general mixed-integer solver; README.md beside
it says what is asked.

Made the answers with Python 3.11.7, scipy 1.17.1 and the HiGHS solver inside it. As in solve.py the optimum is checked here:
the choice is added up again in whole cents, the pieces are counted again, and the solver's own bound, rounded up to the
cent, must meet it.
"""

import csv
import math
from decimal import Decimal
from fractions import Fraction

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

from solve import TODAY, Bag, Loose, every_way, print_answers, rounded, solved, tiers

# No more sticks of one offer than this, far above what any job needs.
STICKS = 200


def patterns(length, kerf, pieces):
    """All ways to cut one stick into which no further piece goes, as counts by piece."""
    found = []

    def fill(at, room, counts):
        if at == len(pieces):
            if all(piece + kerf > room for piece in pieces) and any(counts):
                found.append(tuple(counts))
            return
        for count in range(int(room // (pieces[at] + kerf)), -1, -1):
            fill(at + 1, room - count * (pieces[at] + kerf), counts + [count])

    # Between k pieces are k - 1 cuts: one kerf more on the stick and one with each piece.
    fill(0, length + kerf, [])
    return found


class Plan:
    def __init__(self, folder):
        rows = lambda name: list(csv.DictReader(open(folder / name)))
        (kerf,) = [row["value"] for row in rows("job.csv") if row["item"] == "kerf"]
        self.kerf = Fraction(kerf.removesuffix(" in"))
        runs = rows("runs.csv")
        total = sum(int(row["count"]) for row in runs)
        self.needs = {row["part"]: int(row["quantity"]) * total for row in rows("patterns.csv")}
        self.pieces, self.shelf, self.offers, self.sticks = {}, {}, {}, {}
        for row in runs:
            of_size = self.pieces.setdefault(row["size"], {})
            inches = Fraction(row["length (in)"])
            of_size[inches] = of_size.get(inches, 0) + int(row["count"])
        for row in rows("on-hand.csv"):
            length = 12 * Fraction(row["length (ft)"])
            self.shelf.setdefault(row["size"], []).append((length, int(row["quantity"])))
        self.terms = {row["supplier"]: (100 * int(row["delivery fee"]), 100 * int(row["least order"]))
                      for row in rows("suppliers.csv")}
        self.names = list(self.terms)
        for row in rows("prices.csv"):
            assert row["good until"] >= TODAY
            if row["part"] == "tube":
                length = 12 * Fraction(row["pack"].removesuffix(" ft"))
                prices = []
                for start, net in tiers(row):
                    cents = int(rounded(net, 2) * 100)
                    # A break that is no cheaper than what is before it is passed over.
                    if not prices or cents < prices[-1][1]:
                        prices.append((start, cents))
                self.sticks.setdefault((row["size"], row["supplier"]), []).append((length, prices))
            else:
                self.offers[row["part"], row["supplier"]] = Loose(row)
        self.parts = list(self.needs)
        self.least = {of: min(every_way(self.needs[of[0]], [], loose, None)) for of, loose in self.offers.items()}

    def solve(self, names, most, with_least, window=0, filled=None):
        columns, costs, low, high, entries, below, above = [], [], [], [], [], [], []

        def column(name, cost, most_of=1):
            columns.append(name)
            costs.append(cost)
            above.append(most_of)
            return len(columns) - 1

        def add(terms, least, greatest):
            entries.extend((len(low), at, value) for at, value in terms)
            low.append(least)
            high.append(greatest)

        opened = {name: column(("open", name), self.terms[name][0]) for name in names}
        goods = {name: [] for name in names}
        for part in self.parts:
            sold = [name for name in names if (part, name) in self.least]
            if not sold:
                return None
            here = []
            for name in sold:
                base = self.least[part, name]
                sums = {base}
                if window and filled is None and with_least and self.terms[name][1] > 0:
                    sums |= every_way(self.needs[part], [], self.offers[part, name], base + window)
                for cost in sorted(sums):
                    at = column(("line", part, name, cost), cost)
                    here.append(at)
                    goods[name].append((at, cost))
                    add([(at, 1), (opened[name], -1)], -numpy.inf, 0)
            add([(at, 1) for at in here], 1, 1)
        tubes = []
        for size, wanted in self.pieces.items():
            lengths = sorted(wanted, reverse=True)
            sold = [name for name in names if (size, name) in self.sticks]
            if not sold:
                return None
            taken = []
            for name in sold:
                here = column(("tube", size, name), 0)
                taken.append(here)
                add([(here, 1), (opened[name], -1)], -numpy.inf, 0)
                cut = [[] for _ in lengths]

                def from_sticks(length, there):
                    ways = []
                    for way in patterns(length, self.kerf, lengths):
                        at = column(("cut", size, name, length, way), 0, STICKS)
                        ways.append((at, 1))
                        for piece, count in enumerate(way):
                            if count:
                                cut[piece].append((at, count))
                    add(ways + there, -numpy.inf, 0)

                for length, prices in self.sticks[size, name]:
                    there, ends = [], [start - 1 for start, _ in prices[1:]] + [STICKS]
                    chosen = []
                    for (start, cents), end in zip(prices, ends):
                        of_tier = column(("tier", size, name, length, start), 0)
                        number = column(("sticks", size, name, length, cents, start, end), cents, STICKS)
                        add([(number, 1), (of_tier, -start)], 0, numpy.inf)
                        add([(number, 1), (of_tier, -end)], -numpy.inf, 0)
                        chosen.append((of_tier, 1))
                        there.append((number, -1))
                        goods[name].append((number, cents))
                    add(chosen + [(here, -1)], -numpy.inf, 0)
                    from_sticks(length, there)
                for length, number in self.shelf.get(size, []):
                    from_sticks(length, [(here, -number)])
                for piece, terms in zip(lengths, cut):
                    add(terms + [(here, -wanted[piece])], 0, numpy.inf)
            add([(at, 1) for at in taken], 1, 1)
        add([(at, 1) for at in opened.values()], 0, most)
        fill = {name: column(("fill", name), 1, numpy.inf) for name in names} if filled is not None else {}
        if with_least:
            for name in names:
                if self.terms[name][1] > 0:
                    terms = [(at, cents / 100) for at, cents in goods[name]]
                    if fill:
                        terms.append((fill[name], 0.01))
                    add(terms + [(opened[name], -self.terms[name][1] / 100)], 0, numpy.inf)
        if filled is not None:
            add([(at, 1) for at in fill.values()], filled, numpy.inf)
        r, c, v = zip(*entries)
        matrix = coo_matrix((numpy.array(v, dtype=float), (r, c)), shape=(len(low), len(columns)))
        result = milp(numpy.array(costs), constraints=LinearConstraint(matrix.tocsr(), low, high),
                      integrality=[one[0] != "fill" for one in columns], bounds=Bounds(0, above),
                      options={"mip_rel_gap": 5e-6, "time_limit": 300})
        if result.status == 2:
            return None
        if result.status == 1:
            raise TimeoutError(result.message)
        assert result.status == 0, result.message
        proven = math.ceil(result.mip_dual_bound - 0.01)
        if filled is not None:
            return proven
        whole = [round(value) for value in result.x]
        total = self.checked(columns, whole, names, with_least)
        assert proven >= total, (proven, total)
        return total

    def checked(self, columns, whole, names, with_least):
        """What a choice comes to in cents, added up anew; it must hold all that is wanted."""
        sums = {name: 0 for name in names}
        lines, cut, sticks, opened = set(), {}, {}, set()
        for one, number in zip(columns, whole):
            if number == 0:
                continue
            match one:
                case ("open", name):
                    opened.add(name)
                case ("line", part, name, cost):
                    assert part not in lines
                    lines.add(part)
                    sums[name] += cost
                case ("sticks", size, name, length, cents, start, end):
                    assert start <= number <= end
                    sums[name] += cents * number
                    sticks[size, name, length] = sticks.get((size, name, length), 0) + number
                case ("cut", size, name, length, way):
                    assert sum(n * (p + self.kerf) for n, p in zip(way, sorted(self.pieces[size], reverse=True))) \
                        <= length + self.kerf
                    cut.setdefault((size, name), []).append((length, way, number))
        assert len(lines) == len(self.parts)
        for size, wanted in self.pieces.items():
            (name,) = [name for of, name in cut if of == size]
            used, made = {}, [0] * len(wanted)
            for length, way, number in cut[size, name]:
                used[length] = used.get(length, 0) + number
                made = [n + number * more for n, more in zip(made, way)]
            assert all(n >= wanted[p] for n, p in zip(made, sorted(wanted, reverse=True)))
            shelf = {}
            for length, number in self.shelf.get(size, []):
                shelf[length] = shelf.get(length, 0) + number
            assert all(n <= sticks.get((size, name, l), 0) + shelf.get(l, 0) for l, n in used.items())
        assert all(sums[name] == 0 for name in names if name not in opened)
        if with_least:
            assert all(sums[name] >= self.terms[name][1] for name in opened)
        return sum(sums.values()) + sum(self.terms[name][0] for name in opened)

    def least_sum(self, names, most):
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


def answer(folder):
    try:
        return solved(Plan(folder), folder, 3)
    except TimeoutError:
        return None, f"{folder.name}: not solved in time"


if __name__ == "__main__":
    print_answers(answer, "tube-")
