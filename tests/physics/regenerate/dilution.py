"""Tables on dilution and on fitting a log of readings."""
import math

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.linalg import expm
from scipy.optimize import brentq, curve_fit

from table import read, write

TEN = [(1.2, 6.2), (1.2, 7.4), (1.0, 3.1), (0.8, 3.1), (1.5, 9.4), (0.9, 6.2), (1.1, 5.0), (0.4, 7.4), (1.3, 3.8), (0.6, 5.0)]
MADE = f"scipy {scipy.__version__}, numpy {np.__version__}"


def mixed():
    rows = []
    for volume, flow, start, mains, share in [
            (100, 12, 2500, 300, .1), (100, 12, 1200, 300, .1), (60, 10, 4000, 150, .1), (250, 20, 900, 450, .1), (100, 12, 320, 300, .1),
            (100, 12, 330, 300, .1), (100, 12, 180, 300, .1), (140, 15, 6000, 90, .1), (100, 12, 2500, 300, .05), (1, 1, 11.1, 1, .1)]:
        off = start - mains
        minutes = 0.0
        if abs(off) > share * mains * (1 + 1e-12):
            # Integrated rather than taken from the closed form.
            def arrives(_, state):
                return abs(state[0]) - share * mains
            arrives.terminal = True
            end = solve_ivp(lambda _, state: -flow / volume * state, [0, 1e4], [off], events=arrives, rtol=1e-11, atol=1e-11)
            minutes = float(end.t_events[0][0])
        rows.append([volume, flow, start, mains, share, minutes, flow * minutes])
    write("dilution_mixed.csv", [f"One well-mixed volume; integrated step by step with {MADE}. Litres, minutes, any unit of concentration."],
          ["volume_l", "flow_l_min", "start", "mains", "share", "minutes", "water_l"], rows, 8)


def branched():
    rows = []
    for name, tank, fresh, branches, start, mains in [
            ("ten_radiators_slow", 30, 5, TEN, 2500, 300), ("ten_radiators_fast", 30, 5, [(10 * q, v) for q, v in TEN], 2500, 300),
            ("ten_radiators_very_fast", 30, 5, [(1000 * q, v) for q, v in TEN], 2500, 300), ("once_through", 30, 10, TEN, 2500, 300),
            ("one_radiator", 30, 12, [(18, 12)], 2500, 300), ("one_starved", 25, 8, [(20, 40), (.2, 9)], 1800, 250),
            ("upwards", 25, 8, [(12, 30), (4, 12)], 40, 300)]:
        flows, volumes = (np.array(column, float) for column in zip(*branches))
        size, round_ = len(branches) + 1, flows.sum()
        rates = np.zeros((size, size))
        rates[0, 0] = -round_ / tank
        rates[0, 1:] = (round_ - fresh) / tank * flows / round_
        rates[1:, 0] = flows / volumes
        rates[1:, 1:] -= np.diag(flows / volumes)
        returned = np.concatenate([[0], flows / round_])
        water = np.concatenate([[tank], volumes]) / (tank + volumes.sum())

        def state(minutes):
            return expm(rates * minutes) @ np.full(size, float(start - mains))
        band = 0.1 * mains

        def when(weights):
            return brentq(lambda minutes: abs(weights @ state(minutes)) - band, 0, 1e3, xtol=1e-11)
        rows.append([name, tank, fresh, ";".join(f"{q:g}:{v:g}" for q, v in branches), start, mains, when(returned),
                     when(water)])
    write("dilution_branched.csv", [f"A tank and branches, each well mixed, to a tenth of the mains; matrix exponential of {MADE}.",
                                    "branches: l/min through each and litres in it."],
          ["case", "tank_l", "fresh_l_min", "branches", "start", "mains", "return_minutes", "average_minutes"],
          rows, 9)


def fits():
    rows, logs = [], {}
    for row in read("logs.csv"):
        logs.setdefault(row["log"], (float(row["mains"]), []))[1].append((float(row["minutes"]), float(row["reading"])))
    for name, (mains, points) in logs.items():
        times, readings = np.array(points).T
        off = readings - mains
        (difference, rate), covariance = curve_fit(lambda t, a, k: a * np.exp(-k * t), times, off, p0=(off[0], 0.1), method="lm",
                                                   ftol=1e-14, xtol=1e-14, gtol=1e-14)
        scatter = float(np.sqrt(np.mean((off - difference * np.exp(-rate * times))**2)))
        end = math.log(abs(difference) / (0.1 * mains)) / rate
        slope = np.array([1 / (difference * rate), -end / rate])
        rows.append([name, mains, float(difference), float(rate), scatter, float(end), float(math.sqrt(slope @ covariance @ slope))])
    write("fits.csv", [f"Least squares of reading = mains + A exp(-k t) on logs.csv with the mains held, by {MADE};",
                       "the end is a tenth of the mains, its standard error to first order."],
          ["log", "mains", "difference", "rate_per_minute", "scatter", "end_minutes", "end_error_minutes"], rows, 8)


if __name__ == "__main__":
    for make in [mixed, branched, fits]:
        make()
