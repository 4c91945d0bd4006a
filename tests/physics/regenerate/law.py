"""The friction law and a few closed forms, written again so that the Rust is not its own witness.

Colebrook and White's equation is solved by a bracketing root finder rather than by Newton's method,
and slopes come from differences rather than from formulas.
"""
import math

from scipy.optimize import brentq

G = 9.80665


def colebrook(reynolds, roughness):
    def miss(x):
        return x + 2 * math.log10(roughness / 3.7 + 2.51 * x / reynolds)
    return brentq(miss, 0.5, 100, xtol=1e-15, rtol=1e-15) ** -2


def joined(reynolds, roughness, turbulent=colebrook):
    """64/Re to 2000, `turbulent` from 4000, and between them the cubic that fits both ends."""
    if reynolds <= 2000:
        return 64 / reynolds
    if reynolds >= 4000:
        return turbulent(reynolds, roughness)
    low, high = 0.032, turbulent(4000, roughness)
    slope_low = -64 / 2000**2
    slope_high = (turbulent(4002, roughness) - turbulent(3998, roughness)) / 4
    s = (reynolds - 2000) / 2000
    return ((1 + 2 * s) * (1 - s)**2 * low + s * (1 - s)**2 * 2000 * slope_low
            + s * s * (3 - 2 * s) * high + s * s * (s - 1) * 2000 * slope_high)


def area(bore):
    return math.pi * bore**2 / 4


def head(flow, length, bore, roughness, loss, viscosity):
    """Head lost in m, with the sign of the flow."""
    if flow == 0:
        return 0.0
    speed = abs(flow) / area(bore)
    factor = joined(speed * bore / viscosity, roughness / bore)
    return math.copysign((factor * length / bore + loss) * speed**2 / (2 * G), flow)
