"""Heat taken up by water, by the steam tables of IAPWS-IF97."""

import math

from iapws import IAPWS97
from scipy.integrate import quad

from book import Q, answer, table, unit

BOILING = IAPWS97(P=0.101325, x=0)
STEAM = IAPWS97(P=0.101325, x=1)
START, START_SI = ("degF", 35, 110), ("degC", 2, 43)


def cold(start):
    return IAPWS97(T=start.to("K").magnitude, P=0.101325)


def heat(start):
    water = cold(start)
    sensible = Q(BOILING.h - water.h, "kJ/kg")
    latent = Q(STEAM.h - BOILING.h, "kJ/kg")
    litre = (sensible + latent) * Q(water.rho, "kg/m**3") * Q(1, "L")
    return {"sensible": sensible, "latent": latent, "litre": litre.to("kJ"),
            "portion": litre.to("kJ") * (Q(1, "gallon").to("L").magnitude if start.units == unit("degF") else 10)}


ONE = "one Btu a pound and degree, 4.187 kJ a kilogram and kelvin, for all water"
table("heat-absorbed", "iapws.IAPWS97", heat,
      {"sensible": answer("kJ/kg", 0.001, ONE),
       "latent": answer("kJ/kg", 8e-5, "970.1 Btu/lb and 2256.5 kJ/kg, rounded"),
       "litre": answer("kJ", 3e-4, ONE), "portion": answer("kJ", 3e-4, ONE)},
      {"start": START}, {"start": START_SI})
table("steam-expansion", "iapws.IAPWS97",
      lambda start: {"ratio": cold(start).rho / STEAM.rho},
      {"ratio": answer("", 3e-4, "density of steam to four figures")},
      {"start": START}, {"start": START_SI})


def hot(temperature):
    steam = IAPWS97(T=temperature.to("K").magnitude, P=0.101325)
    return {"ratio": IAPWS97(T=Q(60, "degF").to("K").magnitude, P=0.101325).rho / steam.rho}


table("steam-expansion-hot", "iapws.IAPWS97, water at 60 degF", hot,
      {"ratio": answer("", 0.02, "an ideal gas; steam is denser near boiling")},
      {"temperature": ("degF", 220, 1000)}, {"temperature": ("degC", 105, 540)})


def rate(flow, efficiency, start):
    power = flow * heat(start)["litre"] / Q(1, "L") * efficiency.to("dimensionless").magnitude
    return {"power": power.to("kW")}


EFFICIENCY = ("%", 10, 90)
table("heat-rate", "iapws.IAPWS97", rate, {"power": answer("kW", 3e-4, ONE)},
      {"flow": ("gpm", 20, 500), "efficiency": EFFICIENCY, "start": START},
      {"flow": ("L/min", 75, 2000), "efficiency": EFFICIENCY, "start": START_SI})


def ball(diameter):
    """Volume and surface of a drop, from discs and rings."""
    r = diameter.to("mm").magnitude / 2
    volume, _ = quad(lambda z: math.pi * (r * r - z * z), -r, r, epsrel=1e-12)
    surface, _ = quad(lambda z: 2 * math.pi * r, -r, r, epsrel=1e-12)
    return volume, surface


def split(large, small):
    if small >= large:
        return None
    (big, skin), (little, little_skin) = ball(large), ball(small)
    return {"count": big / little, "surface": little_skin * (big / little) / skin}


DISCS = "scipy.integrate.quad over the drop"
table("droplets", DISCS, split, {"count": answer("", 1e-8), "surface": answer("", 1e-8)},
      {"large": ("mm", 1, 10), "small": ("mm", 0.1, 3)})


def surface(volume, drop):
    each, skin = ball(drop)
    return {"surface": Q(volume.to("mm**3").magnitude / each * skin, "mm**2")}


table("surface-of-drops", DISCS, surface, {"surface": answer("m2", 1e-6)},
      {"volume": ("gal", 1, 100), "drop": ("mm", 0.2, 3)},
      {"volume": ("L", 4, 400), "drop": ("mm", 0.2, 3)})
