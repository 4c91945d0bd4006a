"""Tables on water, glycol, friction, valves and pumps."""
import CoolProp
import CoolProp.CoolProp as cp
import fluids
import fluids.friction as friction
import iapws
from scipy.optimize import brentq

import law
from table import write

ATMOSPHERE = 101325.0
MADE = f"fluids {fluids.__version__}, CoolProp {CoolProp.__version__}, iapws {iapws.__version__}"


def property(name, celsius, fluid="Water"):
    return cp.PropsSI(name, "T", celsius + 273.15, "P", ATMOSPHERE, fluid)


def water():
    rows = []
    for celsius in [0.01, 4, *range(5, 100, 5), 99]:
        point = iapws.IAPWS95(T=celsius + 273.15, P=ATMOSPHERE / 1e6)
        rows.append([float(celsius), point.rho, property("V", celsius), point.cp * 1000])
    write("water.csv", [f"Liquid water at 101 325 Pa, by {MADE}.",
                        "Density and heat capacity: IAPWS-95. Viscosity: IAPWS R12-08."],
          ["celsius", "density_kg_m3", "viscosity_Pa_s", "heat_capacity_J_kgK"], rows)


GLYCOLS = {"propylene": ("MPG", 1036.0), "ethylene": ("MEG", 1113.2)}


def freezing_point(fluid, strength):
    return cp.PropsSI("T_freeze", "T", 293.15, "P", ATMOSPHERE, f"INCOMP::{fluid}[{strength}]") - 273.15


def glycol():
    rows, freezing = [], []
    for name, (fluid, heavy) in GLYCOLS.items():
        for strength in [0.1, 0.2, 0.25, 0.3, 0.4, 0.5]:
            for celsius in [-10, 0, 10, 20, 40, 60, 80]:
                if celsius > freezing_point(fluid, strength) + 1:
                    mix = f"INCOMP::{fluid}[{strength}]"
                    rows.append([name, strength, celsius] + [property(what, celsius, mix) for what in "DVC"])
        for by in ["mass", "volume"]:
            for percent in range(5, 61, 5):
                share = percent / 100
                mass = share if by == "mass" else share * heavy / (share * heavy + (1 - share) * 998.2)
                if mass > 0.6:
                    continue
                freezing.append([name, by, share, freezing_point(fluid, mass)])
    comment = f"Water and glycol by CoolProp {CoolProp.__version__}, incompressible fluids MPG and MEG, after Melinder 2010."
    write("glycol.csv", [comment], ["glycol", "mass_strength", "celsius", "density_kg_m3", "viscosity_Pa_s", "heat_capacity_J_kgK"], rows, 7)
    write("freezing.csv", [comment, "A strength by volume is turned into mass with 1036.0, 1113.2 and 998.2 kg/m3."],
          ["glycol", "by", "strength", "freezing_celsius"], freezing, 6)


def friction_factors():
    rows = []
    for reynolds in [100, 500, 1000, 1500, 1999, 2000, 2200, 2500, 2800, 3000, 3300, 3600, 4000, 5000, 7500, 1e4, 1.5e4,
                     2e4, 3e4, 5e4, 7e4, 1e5, 2e5, 5e5, 1e6]:
        for roughness in [0.0, 1e-5, 1e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2, 2e-2, 5e-2]:
            exact = friction.Clamond(reynolds, roughness) if reynolds >= 4000 else ""
            rows.append([float(reynolds), roughness, exact, law.joined(reynolds, roughness)])
    write("friction.csv", [f"Darcy friction factor. colebrook: by fluids {fluids.__version__}, from Reynolds number 4000 on.",
                           "joined: our law by another way, see law.py."],
          ["reynolds", "relative_roughness", "colebrook", "joined"], rows)


def pressure_drops():
    cases = [(6.8, .0015), (8.6, .0015), (13.6, .0015), (20.2, .0015), (26.2, .0015), (6.8, .007), (11.4, .007),
             (17.7, .007), (12, .007), (16, .007)]
    cases += [(bore, rough) for bore in [16.1, 21.7, 27.3, 36.0, 41.9, 53.1] for rough in [.045, .2, 1.0]
              if rough / bore <= 0.05]
    rows = []
    for bore, rough in cases:
        for celsius in [10, 40, 70]:
            density, viscosity = property("D", celsius), property("V", celsius)
            for flow in [.01, .02, .05, .1, .2, .3, .5, .8, 1.2, 2.0]:
                speed = flow / 1000 / law.area(bore / 1000)
                if not 0.02 <= speed <= 4:
                    continue
                reynolds = density * speed * bore / 1000 / viscosity
                drop = density * speed**2 / 2 / (bore / 1000)
                rows.append([bore, rough, celsius, flow, reynolds, law.joined(reynolds, rough / bore) * drop,
                             friction.friction_factor(Re=reynolds, eD=rough / bore) * drop])
    write("pressure_drop.csv", [f"Pressure lost per metre of straight pipe, water by CoolProp {CoolProp.__version__}.",
                                f"joined: our law by another way; library: fluids {fluids.__version__}, which jumps at 2040."],
          ["bore_mm", "roughness_mm", "celsius", "flow_l_s", "reynolds", "joined_Pa_m", "library_Pa_m"], rows, 7)


def valves():
    rows = []
    for kv in [.3, .6, .9, 1.6, 2.5, 6.3]:
        for bore in [8.6, 13.6, 16.1, 20.2]:
            exact = 2 * law.area(bore / 1000)**2 * 1e5 * 3600**2 / 1000 / kv**2
            rows.append([kv, bore, exact, fluids.Kv_to_K(kv, bore / 1000)])
    write("valves.csv", [f"Loss coefficient of a flow coefficient: by its definition, and by fluids {fluids.__version__}."],
          ["kv_m3_h", "bore_mm", "loss", "library_loss"], rows)


def pumps():
    rows = []
    for case in [(22, 1.9, 0, 30, 20.2, .0015, 12, 40), (22, 1.9, 0, 30, 13.6, .0015, 60, 40), (22, 1.9, 3, 40, 20.2, .0015, 20, 15),
                 (6, .95, 0, 50, 20.2, .0015, 25, 60), (6, .95, 0, 30, 6.8, .0015, 40, 15), (6, .95, 0, 60, 6.8, .0015, 10, 10),
                 (30, 2.5, 5, 45, 27.3, .2, 30, 50), (5, 1.0, 6, 20, 20.2, .0015, 5, 20)]:
        shut_off, greatest, lift, length, bore, rough, loss, celsius = case
        viscosity = kinematic(celsius)
        fall = shut_off / (greatest / 1000)**2

        def balance(flow):
            return shut_off - fall * flow**2 - lift - law.head(flow, length, bore / 1000, rough / 1000, loss, viscosity)
        flow = 0.0 if shut_off <= lift else brentq(balance, 0, greatest / 1000, xtol=1e-17, rtol=1e-14)
        rows.append([*case, flow * 1000, shut_off - fall * flow**2])
    write("pumps.csv", ["A parabola between its ends against a lift and one run of pipe; a root finder on our law.",
                        "Invented cases. Viscosity from the compact forms of IAPWS SR6-08 and Kell 1975."],
          ["shut_off_m", "greatest_l_s", "lift_m", "length_m", "bore_mm", "roughness_mm", "loss", "celsius", "flow_l_s",
           "head_m"], rows, 10)


def kinematic(celsius):
    """The compact forms, since a table judges a method to more digits than they agree with IAPWS-95."""
    t, x = celsius, (celsius + 273.15) / 300
    density = ((999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4
                - 280.54253e-12 * t**5) / (1 + 16.879850e-3 * t))
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40) / density


def main():
    for make in [water, glycol, friction_factors, pressure_drops, valves, pumps]:
        make()


if __name__ == "__main__":
    main()
