"""Writes skill.csv, agreement.csv and reliability.csv, the figures that the tests hold the statistics of marks to.

Run: python3 skill.py   (Python 3.8 or later, with scipy 1.17.1, krippendorff 0.9.0 and pingouin 0.7.0 of the
public package index)

The inverse of the normal distribution and the limits of a rate are those of scipy, alpha between markers that of the
package krippendorff, alpha of a test that of the package pingouin.
"""
import random
import krippendorff
import numpy as np
import pandas as pd
import pingouin
from scipy.stats import binomtest, norm



def rate(some, all_, k):
    """A rate in z, and how far below and above it its exact limits lie."""
    limits = binomtest(some, all_).proportion_ci(0.95, method="exact")
    z = norm.ppf((some / all_ + k) / (1 + 2 * k))
    return z, z - norm.ppf(limits.low), norm.ppf(limits.high) - z


with open("skill.csv", "w") as out:
    out.write("so,claimed,not_so,in_vain,sensitivity,from,to,bias,from,to\n")
    for so, claimed in [(1, 1), (3, 1), (8, 7), (8, 0), (8, 8), (20, 17), (100, 50), (100, 99), (1000, 1)]:
        for not_so, in_vain in [(1, 0), (12, 0), (12, 12), (20, 5), (60, 2), (300, 2), (5000, 0), (300, 150)]:
            k = 1 / (so + not_so)
            (h, h_less, h_more), (f, f_less, f_more) = rate(claimed, so, k), rate(in_vain, not_so, k)
            d, c = h - f, -(h + f) / 2
            ends = d - np.hypot(h_less, f_more), d + np.hypot(h_more, f_less)
            of_bias = c - np.hypot(h_more, f_more) / 2, c + np.hypot(h_less, f_less) / 2
            out.write(f"{so},{claimed},{not_so},{in_vain}," + ",".join(f"{x:.9f}" for x in (d, *ends, c, *of_bias)) + "\n")


def alpha(questions):
    """Alpha of questions, each the answers of its markers, some of them missing."""
    return krippendorff.alpha(reliability_data=np.array(questions, dtype=float).T, level_of_measurement="nominal")


def interval(questions):
    left_out = np.array([alpha(questions[:at] + questions[at + 1:]) for at in range(len(questions))])
    n = len(questions)
    half = norm.ppf(0.975) * ((n - 1) / n * ((left_out - left_out.mean()) ** 2).sum()) ** 0.5
    return max(alpha(questions) - half, -1), min(alpha(questions) + half, 1)


gap = float("nan")
# Two markers who split 20, 15 and 15: 0.70 alike; then twelve markers' worth of chance, and gaps.
tables = [[(1, 1)] * 20 + [(1, 0)] * 5 + [(0, 1)] * 10 + [(0, 0)] * 15, [(1, 1)] * 90 + [(1, 0)] * 5 + [(0, 1)] * 4 + [(0, 0)], [(1, 0)] * 6 + [(0, 1)] * 5]
draw = random.Random(7)
for markers, gaps in [(3, 0.0), (4, 0.2), (6, 0.4)]:
    rows = []
    while len(rows) < 40:
        so = draw.random() < 0.6
        row = [gap if draw.random() < gaps else float(so if draw.random() < 0.8 else not so) for _ in range(markers)]
        if sum(answer == answer for answer in row) > 1:
            rows.append(tuple(row))
    tables.append(rows)
with open("agreement.csv", "w") as out:
    out.write("alpha,from,to,questions as yes:no\n")
    for rows in tables:
        low, high = interval(rows)
        counts = [(sum(a == 1 for a in row), sum(a == 0 for a in row)) for row in rows]
        out.write(f"{alpha(rows):.9f},{low:.9f},{high:.9f}," + " ".join(f"{yes}:{no}" for yes, no in counts) + "\n")
with open("reliability.csv", "w") as out:
    out.write("alpha,scores of one person after the other\n")
    for people, exercises, noise in [(12, 2, 0.1), (12, 6, 0.2), (30, 10, 0.4), (10, 4, 2.0)]:
        able = [draw.random() for _ in range(people)]
        scores = [[round(a + noise * draw.random(), 4) for _ in range(exercises)] for a in able]
        found, _ = pingouin.cronbach_alpha(data=pd.DataFrame(scores))
        out.write(f"{found:.9f}," + " ".join(":".join(str(one) for one in row) for row in scores) + "\n")
