"""Layouts behind an in-line eductor."""

import math

from scipy.optimize import brentq

from book import Q, answer, table
from families.hydraulics import by_coefficient, column

INLET, INLET_SI = ("psi", 150, 250), ("kPa", 1000, 1700)
SHARE = ("%", 60, 75)
US = {
    "inlet": INLET, "share": SHARE, "nozzle": ("psi", 50, 100),
    "coefficient": ("psi/(100 gpm)^2/100 ft", 5, 30), "flow": ("gpm", 60, 130),
}
SI = {
    "inlet": INLET_SI, "share": SHARE, "nozzle": ("kPa", 350, 700),
    "coefficient": ("kPa/(100 L/min)^2/100 m", 8, 50), "flow": ("L/min", 230, 480),
}


def limit(inlet, share):
    left = share.to("dimensionless").magnitude * inlet.to("kPa")
    return {"limit": left, "drop": inlet - left}


table("eductor-limit", "pint", limit, {"limit": answer("kPa"), "drop": answer("kPa")},
      {"inlet": INLET, "share": SHARE}, {"inlet": INLET_SI, "share": SHARE})


def layout(inlet, share, nozzle, coefficient, flow, length, height):
    back = nozzle + by_coefficient(coefficient, flow, length) + column(height)
    return {"back": back, "limit": limit(inlet, share)["limit"]}


HEIGHT = "0.434 psi a foot and 9.81 kPa a metre for the weight of water"
table("eductor-layout", "pint and iapws", layout,
      {"back": answer("kPa", 0.001, HEIGHT), "limit": answer("kPa")},
      {**US, "length": ("ft", 50, 300), "height": ("ft", 5, 40)},
      {**SI, "length": ("m", 15, 90), "height": ("m", 2, 12)})


def longest(inlet, share, nozzle, coefficient, flow, section, elevation):
    """The length at which the back pressure just reaches the limit."""
    most = limit(inlet, share)["limit"].magnitude
    over = lambda metres: (
        nozzle + by_coefficient(coefficient, flow, Q(metres, "m")) + elevation
    ).to("kPa").magnitude - most
    # Beyond 2,000 ft the formula refuses: no engine carries so much.
    if over(0) >= 0 or over(609) < 0:
        return None
    found = brentq(over, 0, 1e5, xtol=1e-11, rtol=1e-14)
    step = section.to("m").magnitude
    return {"longest": Q(found, "m"), "usable": Q(math.floor(found / step + 1e-9) * step, "m")}


table("eductor-hose", "scipy.optimize.brentq on the back pressure", longest,
      {"longest": answer("m"), "usable": answer("m")},
      {**US, "section": ["50 ft", "100 ft"], "elevation": ("psi", 0, 15)},
      {**SI, "section": ["15 m", "20 m"], "elevation": ("kPa", 0, 100)})


def a_third(inlet):
    left = brentq(lambda p: (inlet.magnitude - p) - p / 2, 0, inlet.magnitude, rtol=1e-14)
    return {"left": left * inlet.units, "drop": inlet - left * inlet.units}


table("eductor-drop", "scipy.optimize.brentq", a_third,
      {"drop": answer("kPa"), "left": answer("kPa")}, {"inlet": INLET}, {"inlet": INLET_SI})
table("eductor-pump-pressure", "pint",
      lambda inlet, coefficient, flow, length, elevation: {
          "friction": by_coefficient(coefficient, flow, length),
          "pressure": inlet + by_coefficient(coefficient, flow, length) + elevation,
      },
      {"pressure": answer("kPa"), "friction": answer("kPa")},
      {"inlet": INLET, "coefficient": US["coefficient"], "flow": US["flow"],
       "length": ("ft", 50, 300), "elevation": ("psi", -10, 30)},
      {"inlet": INLET_SI, "coefficient": SI["coefficient"], "flow": SI["flow"],
       "length": ("m", 15, 90), "elevation": ("kPa", -70, 200)})


table("eductor-match", "pint", lambda flow, nozzle_flow: {"difference": nozzle_flow - flow},
      {"difference": answer("gpm")},
      {"flow": ("gpm", 30, 350), "nozzle-flow": ("gpm", 30, 350)},
      {"flow": ("L/min", 110, 1300), "nozzle-flow": ("L/min", 110, 1300)})
