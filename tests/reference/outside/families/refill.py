"""Containers, weights and mixes."""

import numpy
from iapws import IAPWS97

from book import Q, answer, table

PERCENT = ("%", 0.1, 9)
SIZE, SIZE_SI = ("gal", 5, 55), ("L", 20, 200)
SOLVE = "numpy.linalg.solve of the balance of volumes"


def part(share):
    return share.to("dimensionless").magnitude


def litres(volume):
    return volume.to("L").magnitude


def count(volume, size):
    return numpy.ceil(litres(volume) / litres(size))


table(
    "containers", "numpy.ceil", lambda volume, size: {"count": count(volume, size)},
    {"count": answer("")},
    {"volume": ("gal", 3, 800), "size": SIZE}, {"volume": ("L", 10, 3000), "size": SIZE_SI},
)


def refill(full, left, size):
    amount = full - left
    if amount.magnitude <= 0:
        return None
    return {"amount": amount, "count": count(amount, size)}


table(
    "refill", "pint, numpy.ceil", refill, {"amount": answer("L"), "count": answer("")},
    {"full": ("gal", 20, 500), "left": ("gal", 1, 300), "size": SIZE},
    {"full": ("L", 80, 2000), "left": ("L", 4, 1200), "size": SIZE_SI},
)


def compared(added, used, limit):
    difference = numpy.hypot(litres(added) - litres(used), 0)
    return {"difference": Q(difference, "L"), "share": difference / litres(used) * 100}


table(
    "added-against-used", "numpy", compared, {"difference": answer("L"), "share": answer("%")},
    {"added": ("gal", 5, 60), "used": ("gal", 5, 60), "limit": ("%", 1, 10)},
    {"added": ("L", 20, 250), "used": ("L", 20, 250), "limit": ("%", 1, 10)},
)
table(
    "container-weight", "pint",
    lambda volume, density, tare: {"weight": (volume * density).to("kg") + tare.to("kg")},
    {"weight": answer("kg")},
    {"volume": SIZE, "density": ("lb/gal", 8, 10), "tare": ("lb", 1, 40)},
    {"volume": SIZE_SI, "density": ("kg/L", 0.95, 1.2), "tare": ("kg", 0.5, 20)},
)
WATER = Q(IAPWS97(T=Q(60, "degF").to("K").magnitude, P=0.101325).rho, "kg/m**3")
table(
    "liquid-weight", "iapws.IAPWS97, water at 60 degF",
    lambda volume, gravity: {"weight": volume * gravity * WATER},
    {"weight": answer("kg", 4e-5, "8.337 lb/gal and 0.999 kg/L are the density of water at "
                                  "60 degF, rounded to the last figure shown")},
    {"volume": SIZE, "gravity": ("", 0.98, 1.2)}, {"volume": SIZE_SI, "gravity": ("", 0.98, 1.2)},
)
TANK = {"tank": ("gal", 20, 1000), "percent": PERCENT}
TANK_SI = {"tank": ("L", 80, 4000), "percent": PERCENT}


def mix(tank, percent):
    p = part(percent)
    foam, _ = numpy.linalg.solve([[1, 1], [1 - p, -p]], [litres(tank), 0])
    return {"concentrate": Q(foam, "L"), "amount": Q(foam, "L")}


table("batch-mix", SOLVE, mix, {"concentrate": answer("L")}, TANK, TANK_SI)
table(
    "batch-mix-small", SOLVE, mix, {"amount": answer("floz")},
    {"tank": ("gal", 2, 400), "percent": PERCENT}, {"tank": ("L", 8, 1500), "percent": PERCENT},
)


def into_water(water, percent):
    p = part(percent)
    foam, _ = numpy.linalg.solve([[1 - p, -p], [0, 1]], [0, litres(water)])
    return {"concentrate": Q(foam, "L")}


table(
    "batch-mix-water", SOLVE, into_water, {"concentrate": answer("L")},
    {"water": ("gal", 20, 1000), "percent": PERCENT},
    {"water": ("L", 80, 4000), "percent": PERCENT},
)


def top_up(tank, left, percent):
    if left >= tank:
        return None
    p = part(percent)
    # What is in the tank afterwards holds the percent; the rest held it before.
    foam, _ = numpy.linalg.solve(
        [[1, 1], [1, 0]], [litres(tank) - litres(left), p * litres(tank) - p * litres(left)],
    )
    return {"concentrate": Q(foam, "L")}


table(
    "batch-top-up", SOLVE, top_up, {"concentrate": answer("L")},
    {**TANK, "left": ("gal", 5, 500)}, {**TANK_SI, "left": ("L", 20, 2000)},
)


def totals(foam, water, flush):
    solution = numpy.sum([litres(foam), litres(water)])
    return {
        "percent": 100 * litres(foam) / solution, "metered": (foam / water).to("percent"),
        "after": water + flush,
    }


table(
    "percent-from-totals", "numpy", totals,
    {"percent": answer("%"), "metered": answer("%"), "after": answer("gal")},
    {"foam": ("gal", 0.5, 60), "water": ("gal", 100, 3000), "flush": ("gal", 10, 200)},
    {"foam": ("L", 2, 240), "water": ("L", 400, 12000), "flush": ("L", 40, 800)},
)
def metered_totals(foam, water, flush):
    return {
        "percent": (foam / water).to("percent"), "metered": (foam / water).to("percent"),
        "after": water + flush,
    }


table(
    "percent-from-totals-metered", "pint", metered_totals,
    {"percent": answer("%"), "metered": answer("%"), "after": answer("gal")},
    {"foam": ("gal", 0.5, 60), "water": ("gal", 100, 3000), "flush": ("gal", 10, 200)},
    {"foam": ("L", 2, 240), "water": ("L", 400, 12000), "flush": ("L", 40, 800)},
)
table(
    "counter-resolution", "pint",
    lambda step, foam: {"share": (step / foam).to("percent"), "enough": step * 50},
    {"share": answer("%"), "enough": answer("gal")},
    {"step": ("gal", 0.01, 1), "foam": ("gal", 2, 60)},
    {"step": ("L", 0.05, 5), "foam": ("L", 8, 240)},
)
