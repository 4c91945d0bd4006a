"""Writes skill.csv and agreement.csv, the figures that the tests hold sensitivity, bias and agreement to.

Run: python3 skill.py   (Python 3.8 or later; nothing but its standard library)

The inverse of the normal distribution is that of Python's module `statistics` (Wichura's algorithm AS 241,
as its documentation says); agreement is reckoned in fractions, without rounding.
"""
from fractions import Fraction
from statistics import NormalDist

z = NormalDist().inv_cdf
with open("skill.csv", "w") as out:
    out.write("hits,targets,alarms,sound,sensitivity,bias\n")
    for hits, targets in [(17, 20), (0, 10), (10, 10), (50, 100), (3, 11), (99, 100), (1, 1000)]:
        for alarms, sound in [(5, 20), (0, 10), (10, 10), (2, 300), (0, 5000), (150, 300)]:
            h, f = (hits + 0.5) / (targets + 1), (alarms + 0.5) / (sound + 1)
            out.write(f"{hits},{targets},{alarms},{sound},{z(h) - z(f):.9f},{-(z(h) + z(f)) / 2:.9f}\n")
with open("agreement.csv", "w") as out:
    out.write("both,first,second,neither,alike,kappa,adjusted\n")
    # The first three are worked examples that are reprinted everywhere (kappa 0.40, 0.13 and 0.26; from
    # memory); the fourth shows the paradox of prevalence: much agreement, little kappa.
    tables = [(20, 5, 10, 15), (45, 15, 25, 15), (25, 35, 5, 35), (90, 5, 4, 1), (1, 0, 0, 1), (0, 3, 3, 0), (7, 0, 0, 0), (0, 0, 0, 4), (0, 2, 0, 5)]
    for a, b, c, d in tables:
        n = a + b + c + d
        alike = Fraction(a + d, n)
        chance = Fraction((a + b) * (a + c) + (c + d) * (b + d), n * n)
        kappa = "none" if chance == 1 else f"{float((alike - chance) / (1 - chance)):.9f}"
        out.write(f"{a},{b},{c},{d},{float(alike):.9f},{kappa},{float(2 * alike - 1):.9f}\n")
