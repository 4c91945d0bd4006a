"""Tables on sinking grains and on the speed that carries them."""
import math

import fluids
import fluids.drag as drag
from scipy.optimize import brentq

import law
from table import write
from water_and_pipes import kinematic, property

MAGNETITE = 5170.0
LAWS = [drag.Cheng, drag.Clift_Gauvin, drag.Haider_Levenspiel, drag.Mikhailov_Freire, drag.Flemmer_Banks]


def sinking(diameter, grain, density, viscosity, coefficient):
    """The speed at which drag meets weight, for a drag coefficient as a function of Reynolds number."""
    def balance(speed):
        return (coefficient(density * speed * diameter / viscosity) * 0.75 * density * speed**2 / diameter
                - (grain - density) * law.G)
    return brentq(balance, 1e-9, 3, xtol=1e-16, rtol=1e-13)


def schiller_naumann(reynolds):
    return 24 / reynolds * (1 + 0.15 * reynolds**0.687)


def settling():
    rows = []
    for grain in [MAGNETITE, 2700.0]:
        for celsius in [10, 20, 40, 60]:
            density, viscosity = property("D", celsius), property("V", celsius)
            for micrometres in [1, 2, 5, 10, 20, 50, 75, 100, 150, 200, 300, 400, 500]:
                diameter = micrometres * 1e-6
                speeds = [sinking(diameter, grain, density, viscosity, one) for one in LAWS]
                rows.append([grain, celsius, micrometres, sinking(diameter, grain, density, viscosity, schiller_naumann),
                             min(speeds), max(speeds)])
    write("settling.csv", ["Sinking speed of a grain in m/s. schiller_naumann by a root finder; low and high: the spread of five",
                           "drag laws of fluids " + fluids.__version__ + "."],
          ["grain_kg_m3", "celsius", "diameter_um", "schiller_naumann", "low", "high"], rows, 7)


def speed_for(stirring, bore, roughness, viscosity):
    def stirred(speed):
        return speed * math.sqrt(law.joined(speed * bore / viscosity, roughness / bore) / 8)
    floor = 4000 * viscosity / bore
    if stirred(floor) >= stirring:
        return floor
    return brentq(lambda speed: stirred(speed) - stirring, floor, 50, xtol=1e-14, rtol=1e-12)


def carrying():
    rows = []
    for bore, roughness in [(8.6, .0015), (13.6, .0015), (20.2, .0015), (26.2, .0015), (21.7, .045), (27.3, .045), (11.4, .007)]:
        for celsius in [15, 40]:
            viscosity = kinematic(celsius)
            density = property("D", celsius)
            for micrometres in [10, 25, 50, 100, 200, 300, 500]:
                diameter = micrometres * 1e-6
                speed = sinking(diameter, MAGNETITE, density, viscosity * density, schiller_naumann)
                row = [bore, roughness, celsius, micrometres]
                for rouse in [2.5, 1.2]:
                    row.append(speed_for(speed / 0.41 / rouse, bore / 1000, roughness / 1000, viscosity))
                rolling = math.sqrt(0.05 * law.G * diameter * (MAGNETITE / density - 1))
                rows.append(row + [speed_for(rolling, bore / 1000, roughness / 1000, viscosity)])
    write("carrying.csv", ["Mean speed in m/s at which a grain of magnetite has a Rouse number, or begins to roll; by a root finder.",
                           "Never below the speed of a Reynolds number of 4000."],
          ["bore_mm", "roughness_mm", "celsius", "diameter_um", "rouse_2.5", "rouse_1.2", "rolls"], rows, 8)


if __name__ == "__main__":
    settling()
    carrying()
