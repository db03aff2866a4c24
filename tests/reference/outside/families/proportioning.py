"""Proportioning as a balance of volumes, solved as linear equations."""

import numpy
from scipy.optimize import brentq, linprog

from book import answer, rows_of, table

PERCENT = ("%", 0.1, 9)
US = {"percent": PERCENT, "flow": ("gpm", 20, 2000)}
SI = {"percent": PERCENT, "flow": ("L/min", 75, 8000)}
SOLVE = "numpy.linalg.solve of the balance of volumes"


def part(share):
    return share.to("dimensionless").magnitude


def of_solution(percent, flow):
    """concentrate + water = flow; concentrate = percent of both."""
    p, total = part(percent), flow.to("L/min")
    foam, water = numpy.linalg.solve([[1, 1], [1 - p, -p]], [total.magnitude, 0])
    return {"concentrate": foam * total.units, "water": water * total.units}


def metered(percent, flow):
    p, water = part(percent), flow.to("L/min")
    # foam - p water = 0, water is known, solution - foam - water = 0
    matrix = [[1, -p, 0], [0, 1, 0], [-1, -1, 1]]
    foam, _, solution = numpy.linalg.solve(matrix, [0, water.magnitude, 0])
    return {
        "concentrate": foam * water.units,
        "solution": solution * water.units,
        "true": foam / solution * 100,
    }


table("concentrate-flow", SOLVE, of_solution, {"concentrate": answer("L/min")}, US, SI)
table(
    "water-flow", SOLVE, of_solution,
    {"water": answer("L/min"), "concentrate": answer("L/min")}, US, SI,
)
table(
    "concentrate-flow-metered", SOLVE, metered,
    {"concentrate": answer("gpm"), "solution": answer("gpm"), "true": answer("%")}, US, SI,
)


def true_percent(setting):
    p = part(setting)
    foam, water = numpy.linalg.solve([[1, 1], [1, -p]], [1, 0])
    return {"true": foam * 100}


def setting(wanted):
    s = part(wanted)
    found = brentq(lambda p: p / (1 + p) - s, 0, 1, xtol=1e-15, rtol=1e-14)
    return {"setting": found * 100}


table("true-percent", SOLVE, true_percent, {"true": answer("%")}, {"setting": PERCENT})
table(
    "setting-for-true", "scipy.optimize.brentq", setting, {"setting": answer("%")},
    {"wanted": PERCENT},
)


def largest_flow(rated, percent):
    r, p = rated.to("L/min").magnitude, part(percent)
    found = brentq(lambda q: p * q - r, 0, 1e7, xtol=1e-12, rtol=1e-14)
    return {"largest": found * rated.to("L/min").units}


RATED, RATED_SI = ("gpm", 1, 90), ("L/min", 4, 350)
table(
    "largest-flow", "scipy.optimize.brentq", largest_flow, {"largest": answer("gpm")},
    {"rated": RATED, "percent": PERCENT}, {"rated": RATED_SI, "percent": PERCENT},
)


def held_of(rated, percent, total):
    """The most percent that capacity and setting allow, as a linear program."""
    r, q = rated.to("L/min").magnitude, total.to("L/min").magnitude
    found = linprog([-1], A_ub=[[q]], b_ub=[r], bounds=[(0, part(percent))])
    return -found.fun * 100


def held(rated, percent, flow, **_):
    return {"held": held_of(rated, percent, flow)}


def several(rated, percent, lines):
    total = sum(row["flow"].to("L/min") for row in lines)
    shed = max(total.magnitude - rated.to("L/min").magnitude / part(percent), 0)
    return {
        "held": held_of(rated, percent, total),
        "total": total,
        "needed": numpy.dot([row["flow"].to("L/min").magnitude for row in lines],
                            [part(percent)] * len(lines)) * total.units,
        "shed": shed * total.units,
        "largest": largest_flow(rated, percent)["largest"],
    }


ONE, ONE_SI = dict(US, rated=RATED), dict(SI, rated=RATED_SI)
MANY = {"rated": RATED, "percent": PERCENT, "lines": rows_of(1, 4, flow=("gpm", 20, 500))}
MANY_SI = {
    "rated": RATED_SI, "percent": PERCENT, "lines": rows_of(1, 4, flow=("L/min", 75, 2000)),
}
PROGRAM = "scipy.optimize.linprog"
table("percent-at-flow", PROGRAM, held, {"held": answer("%")}, ONE, ONE_SI)
table(
    "percent-held", PROGRAM, several,
    {"held": answer("%"), "needed": answer("gpm"), "total": answer("gpm")}, MANY, MANY_SI,
)
table(
    "flow-to-shed", "scipy.optimize.brentq", several,
    {"shed": answer("gpm"), "largest": answer("gpm")}, MANY, MANY_SI,
)


def at_pressure(rated, rated_pressure, pressure, percent, flow):
    if pressure > rated_pressure:
        return None
    return held(rated, percent, flow)


table(
    "percent-held-at-pressure", PROGRAM, at_pressure, {"held": answer("%")},
    {**ONE, "rated-pressure": ("psi", 100, 400), "pressure": ("psi", 50, 300)},
    {**ONE_SI, "rated-pressure": ("kPa", 700, 2800), "pressure": ("kPa", 350, 2000)},
)
table(
    "largest-percent", "pint", lambda rated, flow: {"largest": (rated / flow).to("percent")},
    {"largest": answer("%")},
    {"rated": RATED, "flow": US["flow"]}, {"rated": RATED_SI, "flow": SI["flow"]},
)
table(
    "share-of-capacity", SOLVE,
    lambda rated, percent, flow: {
        "share": (of_solution(percent, flow)["concentrate"] / rated).to("percent"),
    },
    {"share": answer("%")}, ONE, ONE_SI,
)


def nozzle(percent, flow):
    """concentrate + water = flow; concentrate = percent of the water alone."""
    p, total = part(percent), flow.to("L/min")
    foam, _ = numpy.linalg.solve([[1, 1], [1, -p]], [total.magnitude, 0])
    return {"concentrate": foam * total.units}


def nozzle_held(rated, percent, flow):
    """The most percent of the water that setting and capacity allow at that flow."""
    most = min(rated.to("L/min").magnitude, flow.to("L/min").magnitude * 0.999999)
    reach = most / (flow.to("L/min").magnitude - most)
    return {"held": min(part(percent), reach) * 100}


def nozzle_flow(rated, percent):
    r, p = rated.to("L/min").magnitude, part(percent)
    found = brentq(lambda q: p * q / (1 + p) - r, 0, 1e7, xtol=1e-12, rtol=1e-14)
    return {"largest": found * rated.to("L/min").units}


def nozzle_percent(rated, flow):
    if rated >= flow / 2:
        return None
    r, q = rated.to("L/min").magnitude, flow.to("L/min").magnitude
    found = brentq(lambda p: p * q / (1 + p) - r, 0, 1, xtol=1e-15, rtol=1e-14)
    return {"largest": found * 100}


table("concentrate-flow-at-nozzle", SOLVE, nozzle, {"concentrate": answer("L/min")}, US, SI)
table(
    "share-of-capacity-at-nozzle", SOLVE,
    lambda rated, percent, flow: {
        "share": (nozzle(percent, flow)["concentrate"] / rated).to("percent"),
    },
    {"share": answer("%")}, ONE, ONE_SI,
)
table(
    "percent-at-flow-at-nozzle", SOLVE, nozzle_held, {"held": answer("%")}, ONE, ONE_SI,
)
table(
    "largest-flow-at-nozzle", "scipy.optimize.brentq", nozzle_flow,
    {"largest": answer("gpm")},
    {"rated": RATED, "percent": PERCENT}, {"rated": RATED_SI, "percent": PERCENT},
)
table(
    "largest-percent-at-nozzle", "scipy.optimize.brentq", nozzle_percent,
    {"largest": answer("%")},
    {"rated": RATED, "flow": US["flow"]}, {"rated": RATED_SI, "flow": SI["flow"]},
)


def parts(percent):
    p = part(percent)
    foam, water = numpy.linalg.solve([[1, 1], [1 - p, -p]], [1, 0])
    return {"parts": water / foam}


table("parts-of-water", SOLVE, parts, {"parts": answer("")}, {"percent": PERCENT})
