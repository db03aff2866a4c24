"""What a line holds, by integration over its cross-section, and how it is flushed."""

import math

from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from book import Q, answer, rows_of, table

BORE, BORE_SI = ("in", 0.75, 6), ("mm", 19, 150)
LENGTH, LENGTH_SI = ("ft", 20, 1000), ("m", 6, 300)
FLOW, FLOW_SI = ("gpm", 30, 1000), ("L/min", 100, 4000)
CUT = "0.0408 gal and 0.0007854 L are a quarter of pi in these units, cut to their last figure"


def cylinder(bore, length):
    """Rings of the cross-section summed up."""
    radius = bore.to("m").magnitude / 2
    area, _ = quad(lambda r: 2 * math.pi * r, 0, radius, epsrel=1e-12)
    return Q(area * length.to("m").magnitude, "m**3")


def volume_of(sections):
    return sum(cylinder(**row) for row in sections)


RINGS = "scipy.integrate.quad over the cross-section"
table("hose-volume", RINGS, lambda bore, length: {"volume": cylinder(bore, length)},
      {"volume": answer("L", 4e-6, CUT)},
      {"bore": BORE, "length": LENGTH}, {"bore": BORE_SI, "length": LENGTH_SI})
FIELD = "9 gal and 34 L for 100 ft of 1-1/2 in hose are field rules, rounded down"
table("hose-volume-field", RINGS,
      lambda lengths: {"volume": cylinder(Q(1.5, "inch"), lengths.magnitude * Q(100, "foot"))},
      {"volume": answer("gal", 0.03, FIELD)},
      {"lengths": ("", 1, 12)})


def flush(sections, flow, volumes):
    volume = volume_of(sections)
    water = volumes.magnitude * volume
    return {"volume": volume, "water": water, "time": water / flow}


def travel(bore, length, flow):
    """A particle followed down the line."""
    speed = (flow / (cylinder(bore, Q(1, "m")) / Q(1, "m"))).to("m/s").magnitude
    far = length.to("m").magnitude
    end = lambda _, x: x[0] - far
    end.terminal = True
    way = solve_ivp(lambda _, x: [speed], (0, 2 * far / speed), [0], events=end, rtol=1e-12)
    return {"volume": cylinder(bore, length), "time": Q(float(way.t_events[0][0]), "s")}


ANSWERS = {"time": answer("s", 4e-6, CUT), "water": answer("L", 4e-6, CUT),
           "volume": answer("L", 4e-6, CUT)}
table("flush-time", RINGS, flush, ANSWERS,
      {"sections": rows_of(1, 4, bore=BORE, length=LENGTH), "flow": FLOW, "volumes": ("", 1, 5)},
      {"sections": rows_of(1, 4, bore=BORE_SI, length=LENGTH_SI), "flow": FLOW_SI,
       "volumes": ("", 1, 5)})
table("flush-time-of-volume", "pint",
      lambda volume, flow, volumes: {"water": volumes * volume, "time": volumes * volume / flow},
      {"time": answer("s"), "water": answer("L")},
      {"volume": ("gal", 5, 300), "flow": FLOW, "volumes": ("", 1, 5)},
      {"volume": ("L", 20, 1200), "flow": FLOW_SI, "volumes": ("", 1, 5)})
table("travel-time", "scipy.integrate.solve_ivp, a particle in the line", travel,
      {"time": answer("s", 4e-6, CUT), "volume": answer("L", 4e-6, CUT)},
      {"bore": BORE, "length": LENGTH, "flow": FLOW},
      {"bore": BORE_SI, "length": LENGTH_SI, "flow": FLOW_SI})


def washed_out(volumes):
    """A well-mixed space, of which each volume of water carries off what is in it."""
    course = solve_ivp(lambda _, c: [-c[0]], (0, volumes.magnitude), [1.0], rtol=1e-12,
                       atol=1e-15, method="DOP853")
    return {"left": float(course.y[0][-1]) * 100}


table("mixed-residual", "scipy.integrate.solve_ivp, a stirred space", washed_out,
      {"left": answer("%", 1e-6)}, {"volumes": ("", 0.5, 8)})
table("volumes-for-residual", "scipy.optimize.brentq",
      lambda left: {"volumes": brentq(
          lambda n: math.exp(-n) - left.to("dimensionless").magnitude, 0, 50, xtol=1e-13)},
      {"volumes": answer("", 1e-6)}, {"left": ("%", 0.1, 60)})
table("box-volume", "pint",
      lambda length, width, depth: {"volume": length * width * depth},
      {"volume": answer("L", 1e-6)},
      {"length": ("ft", 1, 20), "width": ("ft", 1, 10), "depth": ("ft", 0.5, 10)},
      {"length": ("m", 0.3, 6), "width": ("m", 0.3, 3), "depth": ("m", 0.2, 3)})
