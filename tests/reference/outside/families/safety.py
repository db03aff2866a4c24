"""Lifting, noise and dilution."""

import math

from scipy.optimize import brentq

from book import Q, answer, table


def lifting(load, reach, height, travel, turn, grip, pace):
    """The metric form of the equation, whatever the units of the givens."""
    cm = lambda length: length.to("cm").magnitude
    hold = {"good": 1, "fair": 1 if cm(height) >= 75 else 0.95, "poor": 0.9}[grip]
    limit = (
        23 * (25 / cm(reach)) * (1 - 0.003 * abs(cm(height) - 75))
        * min(0.82 + 4.5 / cm(travel), 1) * (1 - 0.0032 * turn.magnitude) * hold * pace.magnitude
    )
    return {"limit": Q(limit, "kg"), "index": load.to("kg").magnitude / limit}


FORMS = "the published forms in inches and in centimetres differ by up to 3 percent"
GRIP = ["good", "fair", "poor"]
REST = {"turn": ("", 0, 90), "grip": GRIP, "pace": ("", 0.5, 1)}
table("lifting-limit", "pint, the metric equation", lifting,
      {"limit": answer("kg", 0.035, FORMS), "index": answer("", 0.035, FORMS)},
      {"load": ("lb", 20, 60), "reach": ("in", 10, 25), "height": ("in", 0, 60),
       "travel": ("in", 10, 60), **REST},
      {"load": ("kg", 10, 30), "reach": ("cm", 26, 63), "height": ("cm", 0, 150),
       "travel": ("cm", 26, 150), **REST})


def equal_energy(level):
    """The time that takes in the sound energy of eight hours at 85 dBA."""
    whole = 480 * 10**8.5
    minutes = brentq(lambda t: t * 10 ** (level.magnitude / 10) - whole, 0, 1e5, xtol=1e-12)
    steps = (level.magnitude - 90) / 5
    return {"niosh": Q(minutes, "minute"), "osha": Q(480 * math.exp(-math.log(2) * steps), "minute")}


table("noise-time", "scipy.optimize.brentq on sound energy", equal_energy,
      {"niosh": answer("min", 0.03, "3 dB are taken for a doubling; it is 3.01 dB"),
       "osha": answer("min")},
      {"level": ("dBA", 82, 115)})


def diluted(volume, gravity, limit):
    mass = volume * gravity * Q(1, "kg/L")
    return {"water": mass / limit}


table("dilution", "pint", diluted, {"water": answer("L")},
      {"volume": ("gal", 0.5, 20), "gravity": ("", 0.98, 1.1), "limit": ("mg/L", 5, 500)},
      {"volume": ("L", 2, 80), "gravity": ("", 0.98, 1.1), "limit": ("mg/L", 5, 500)})
table("eyewash-water", "pint", lambda flow, time: {"water": flow * time}, {"water": answer("L")},
      {"flow": ("gpm", 0.4, 3), "time": ("min", 10, 20)},
      {"flow": ("L/min", 1.5, 12), "time": ("min", 10, 20)})
