"""Compressed-air foam: gas law, and work of a gas by integration."""

import math

from iapws import IAPWS95, IAPWS97
from scipy.integrate import quad, solve_ivp

from book import Q, answer, table, unit
from families.flush import cylinder

AIR, AIR_SI = ("scfm", 20, 200), ("m3/min", 0.5, 6)
FLOW, FLOW_SI = ("gpm", 30, 200), ("L/min", 100, 800)
PRESSURE, PRESSURE_SI = ("psi", 40, 150), ("kPa", 300, 1000)
ATM = Q(1, "atm")
LINE = {"bore": ("in", 1, 3), "length": ("ft", 50, 400)}
LINE_SI = {"bore": ("mm", 25, 75), "length": ("m", 15, 120)}
RATIO, RATIO_SI = ("", 0.3, 4), ("", 2, 19)
GALLONS = "7.480519 gal in a cubic foot and 14.696 psi for one atmosphere, cut"


def expansion(air, flow):
    """Air and solution beside each other at atmospheric pressure."""
    share = (air / flow).to("dimensionless").magnitude
    # Cubic feet for each gallon; in metric modules parts for each part.
    metric = air.units == unit("m3/min")
    cubic_foot = 1 if metric else Q(1, "foot**3").to("gallon").magnitude
    return {"expansion": 1 + share, "ratio": share / cubic_foot}


table("expansion", "pint", expansion,
      {"expansion": answer("", 1e-6), "ratio": answer("", 1e-6)},
      {"air": AIR, "flow": FLOW}, {"air": AIR_SI, "flow": FLOW_SI})


def in_hose(ratio, pressure):
    metric = pressure.units == unit("kPa")
    part = Q(1) if metric else Q(1, "foot**3") / Q(1, "gallon")
    free = (ratio * part).to("dimensionless").magnitude
    return 1 + free * (ATM / (pressure + ATM)).to("dimensionless").magnitude


table("expansion-in-hose", "pint, Boyle's law",
      lambda ratio, pressure: {"expansion": in_hose(ratio, pressure)},
      {"expansion": answer("", 5e-6, GALLONS)},
      {"ratio": RATIO, "pressure": PRESSURE}, {"ratio": RATIO_SI, "pressure": PRESSURE_SI})
table("air-lines", "math.floor",
      lambda compressor, line: {
          "count": math.floor((compressor / line).to("dimensionless").magnitude)},
      {"count": answer("")},
      {"compressor": ("scfm", 100, 300), "line": ("scfm", 20, 90)},
      {"compressor": ("m3/min", 3, 9), "line": ("m3/min", 0.5, 2.6)})
table("expansion-by-volume", "pint",
      lambda foam, solution: {"expansion": (foam / solution).to("dimensionless")},
      {"expansion": answer("")}, {"foam": ("mL", 500, 3000), "solution": ("mL", 50, 400)})
COOL = Q(IAPWS97(T=293.15, P=0.101325).rho, "kg/m**3")


def weighed(volume, empty, full):
    if full <= empty:
        return None
    return {"expansion": (volume * COOL / (full - empty)).to("dimensionless")}


table("expansion-by-mass", "iapws.IAPWS97, water at 20 degC", weighed,
      {"expansion": answer("", 0.002, "a gram is taken for a millilitre, as in the test method")},
      {"volume": ("mL", 1000, 2000), "empty": ("g", 100, 400), "full": ("g", 450, 700)})
table("quarter-drain", "scipy.integrate.quad",
      lambda solution: {"drained": Q(quad(lambda v: 1, 0, solution.magnitude / 4)[0], "mL")},
      {"drained": answer("mL")}, {"solution": ("mL", 20, 2000)})
table("foam-volume", "pint", lambda expansion, solution: {"foam": expansion * solution},
      {"foam": answer("L")},
      {"expansion": ("", 2, 300), "solution": ("gal", 10, 500)},
      {"expansion": ("", 2, 300), "solution": ("L", 40, 2000)})


def stored(bore, length, pressure):
    """Work of the air when it comes out slowly, and of what it could do at most."""
    volume = cylinder(bore, length).to("m**3").magnitude
    outside = ATM.to("Pa").magnitude
    inside = pressure.to("Pa").magnitude + outside
    end = volume * (inside / outside) ** (1 / 1.4)
    slow, _ = quad(lambda v: inside * (volume / v) ** 1.4, volume, end, epsrel=1e-12)
    energy = lambda p: quad(lambda t: volume / 0.4, outside, p)[0]
    cold = IAPWS95(T=293.15, P=0.101325)
    bulk = 1e6 / cold.kappa
    return {
        "volume": Q(volume, "m**3"), "free": Q(volume * inside / outside, "m**3"),
        "stored": Q(energy(inside), "J"), "slow": Q(slow, "J"),
        "water-energy": Q((inside - outside) ** 2 * volume / (2 * bulk), "J"),
    }


table("stored-air", "scipy.integrate.quad of p dV, iapws.IAPWS95", stored,
      {"volume": answer("L", 1e-6), "free": answer("L", 5e-6, GALLONS),
       "stored": answer("J", 1e-6), "slow": answer("J", 1e-6),
       "water-energy": answer("J", 0.001, "a bulk modulus of 2.18 GPa for all water")},
      {**LINE, "pressure": PRESSURE}, {**LINE_SI, "pressure": PRESSURE_SI})


def blow_down(volume, hole, discharge, **ends):
    """Choked flow out of a line that stays at 20 degC, followed in time."""
    start, stop = ends["from"].to("Pa").magnitude, ends["to"].to("Pa").magnitude
    if stop >= start:
        return None
    outside, gas = ATM.to("Pa").magnitude, 287.05 * 293.15
    area = math.pi * hole.to("m").magnitude ** 2 / 4 * discharge.magnitude
    choked = math.sqrt(1.4 / gas) * (2 / 2.4) ** 3
    v = volume.to("m**3").magnitude
    rate = area * choked * gas / v
    done = lambda _, p: p[0] - stop - outside
    done.terminal = True
    course = solve_ivp(lambda _, p: [-rate * p[0]], (0, 50 / rate), [start + outside],
                       events=done, rtol=1e-11, atol=1e-3)
    return {"time": Q(float(course.t_events[0][0]), "s")}


table("blow-down-time", "scipy.integrate.solve_ivp, choked flow at 20 degC", blow_down,
      {"time": answer("s", 2e-4, "speed of sound and choked factor to four figures")},
      {"volume": ("ft3", 1, 20), "hole": ("in", 0.1, 1), "from": ("psi", 60, 200),
       "to": ("psi", 15, 50), "discharge": ("", 0.6, 1)})
FRESH = Q(IAPWS97(T=Q(60, "degF").to("K").magnitude, P=0.101325).rho, "kg/m**3")


def weight(bore, length, ratio, pressure):
    water = cylinder(bore, length) * FRESH
    return {"water": water, "weight": water / in_hose(ratio, pressure)}


HEAVY = "8.337 lb/gal and 0.999 kg/L for water at 60 degF"
table("foam-line-weight", "iapws.IAPWS97 and scipy.integrate.quad", weight,
      {"weight": answer("kg", 4e-5, HEAVY), "water": answer("kg", 4e-5, HEAVY)},
      {**LINE, "ratio": RATIO, "pressure": PRESSURE},
      {**LINE_SI, "ratio": RATIO_SI, "pressure": PRESSURE_SI})
