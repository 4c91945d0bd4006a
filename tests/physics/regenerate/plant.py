"""Tables on hoses, pressures, vessels, heat, leads and readings."""
import math

import CoolProp
import fluids.friction as friction
from scipy.integrate import quad
from scipy.optimize import brentq

import law
from table import write
from water_and_pipes import kinematic, property

MADE = f"CoolProp {CoolProp.__version__}"


def hoses():
    rows = []
    for bore in [12, 15, 19, 25, 32, 38]:
        for length in [3, 6, 10, 20]:
            for fall in [.2, .5, 1, 2, 4]:
                for celsius in [15, 55]:
                    viscosity = kinematic(celsius)
                    d = bore / 1000

                    def miss(flow, factor=law.joined):
                        speed = flow / law.area(d)
                        return (factor(speed * d / viscosity, .02 / bore) * length / d + 1.5) * speed**2 / 2 / law.G - fall
                    most = math.sqrt(2 * law.G * fall) * law.area(d)
                    flow = brentq(miss, 1e-9, most, xtol=1e-18, rtol=1e-13)
                    library = ""
                    if flow / law.area(d) * d / viscosity > 4000:
                        least = 4000 * viscosity / d * law.area(d)
                        library = 6e4 * brentq(lambda q: miss(q, friction.Clamond), least, most, xtol=1e-18, rtol=1e-13)
                    rows.append([bore, length, fall, celsius, flow * 6e4, library])
    write("hoses.csv", ["Flow of a full hose from an open tank, roughness 0.02 mm, entry loss 0.5; a root finder on our law and, where",
                        "the flow is turbulent, on a library's factor."],
          ["bore_mm", "length_m", "fall_m", "celsius", "flow_l_min", "library_l_min"], rows, 9)


def vessels():
    import CoolProp.CoolProp as cp
    rows = []
    for system, cold, hot, static, charge, fill, valve in [
            (60, 10, 80, .5, .8, .3, 3), (82, 10, 80, .5, 1.0, .2, 3), (100, 10, 80, .5, .8, .3, 3), (100, 10, 60, .5, .8, .3, 3),
            (150, 10, 80, .8, 1.1, .3, 3), (250, 10, 90, .8, 1.0, .2, 3), (400, 10, 55, 1, 1.3, .3, 3), (1000, 10, 80, 1.5, 1.8, .3, 6)]:
        dense, thin = (cp.PropsSI("D", "T", t + 273.15, "P", 3e5, "Water") for t in (cold, hot))
        grows = dense / thin - 1
        highest = valve - .5 if valve <= 5 else .9 * valve
        least = grows * system / ((charge + 1) * (1 / (charge + fill + 1) - 1 / (highest + 1)))
        if least > 15:
            least = max(least, (grows * system + max(.005 * system, 3)) * (highest + 1) / (highest - charge))
        rows.append([system, cold, hot, static, charge, fill, valve, grows, highest, least])
    write("vessels.csv", [f"Expansion vessels by Boyle, their reserve in the form of EN 12828 (from memory); densities of {MADE} at 3 bar."],
          ["system_l", "cold_celsius", "hot_celsius", "static_bar", "charge_bar", "fill_bar", "valve_bar", "expansion", "highest_bar",
           "least_l"], rows, 8)


def warming():
    rows = []
    for water, steel, copper, power, loss, air, start, end in [
            (100, 150, 30, 18, 0, 20, 15, 60), (100, 150, 30, 18, 120, 20, 15, 60), (60, 90, 20, 3, 0, 18, 15, 50),
            (60, 90, 20, 3, 100, 18, 15, 50), (60, 90, 20, 2, 100, 18, 15, 40), (200, 500, 40, 24, 250, 18, 12, 55)]:
        middle = (start + end) / 2
        capacity = water / 1000 * property("D", middle) * property("C", middle) + steel * 470 + copper * 385
        seconds = ""
        if power * 1000 > loss * (end - air):
            seconds = quad(lambda t: capacity / (power * 1000 - loss * (t - air)), start, end, epsabs=0, epsrel=1e-11)[0]
        rows.append([water, steel, copper, power, loss, air, start, end, capacity, seconds])
    write("warming.csv", [f"Heat-up of one mass under constant power, by quadrature; heat capacity of water by {MADE}. Empty: never."],
          ["water_l", "steel_kg", "copper_kg", "power_kW", "loss_W_K", "air_celsius", "start_celsius", "end_celsius", "capacity_J_K",
           "seconds"], rows, 9)


def leads():
    drops = {.75: 62, 1: 46, 1.25: 37, 1.5: 32, 2.5: 19, 4: 12}
    rows = []
    for area, length, current in [(.75, 10, 6), (1, 15, 8), (1.25, 25, 10), (1.5, 15, 13), (1.5, 25, 10), (2.5, 25, 13), (2.5, 50, 10), (4, 50, 16)]:
        rows.append([area, length, current, drops[area] * length * current / 1000])
    write("leads.csv", ["Voltage lost by BS 7671 table 4F3B."], ["area_mm2", "length_m", "current_A", "table_V"], rows, 9)


def readings():
    write("conductivity.csv", ["Conductivity referred to 25 degC: a straight line of 2 % a kelvin."], ["celsius", "conductivity", "linear"],
          [[t, e, e / (1 + .02 * (t - 25))] for t in range(0, 36, 5) for e in [100, 350, 1000, 3000]])


def contents():
    rows = []
    for panels in [1, 2, 3]:
        for height in [300, 400, 450, 500, 600, 700, 900]:
            litres = panels * (.25 + 4.8 * height / 1000)
            rows.append([panels, height, round(litres, 3), *(round(litres * factor, 3) for factor in (.8, 1.45))])
    write("panels.csv", ["Litres in a metre of panel radiator: from memory of catalogues. Fins hold no water."],
          ["panels", "height_mm", "typical", "unknown_low", "unknown_high"], rows)


if __name__ == "__main__":
    for make in [hoses, vessels, warming, leads, readings, contents]:
        make()
