"""Endurance as tanks that run empty, followed in time."""

import numpy
from scipy.integrate import quad, solve_ivp

from book import Q, answer, rows_of, table

PERCENT = ("%", 0.1, 9)
FOLLOW = "scipy.integrate.solve_ivp, a tank followed until it is empty"
US = {
    "foam": ("gal", 5, 500), "water": ("gal", 300, 5000), "warning": ("gal", 2, 40),
    "flow": ("gpm", 30, 1500), "plain-flow": ("gpm", 20, 500), "supply": ("gpm", 20, 2000),
}
SI = {
    "foam": ("L", 20, 2000), "water": ("L", 1000, 20000), "warning": ("L", 8, 150),
    "flow": ("L/min", 100, 6000), "plain-flow": ("L/min", 75, 2000),
    "supply": ("L/min", 75, 8000),
}


def part(share):
    return share.to("dimensionless").magnitude


def empty(volume, rate):
    """Minutes until a tank is empty, from the course of its level."""
    volume, rate = volume.to("L").magnitude, rate.to("L/min").magnitude
    level = lambda _, v: v[0]
    level.terminal, level.direction = True, -1
    course = solve_ivp(
        lambda _, v: [-rate], (0, 2 * volume / rate), [volume], events=level,
        rtol=1e-12, atol=1e-9,
    )
    return Q(float(course.t_events[0][0]), "minute")


def spans(*names, system, **more):
    return {**{name: system[name] for name in names}, **more}


def both(formula, work, answers, *names, by=FOLLOW, **more):
    table(formula, by, work, answers, spans(*names, system=US, **more),
          spans(*names, system=SI, **more))


MINUTES = answer("min", 1e-6)
both("foam-endurance", lambda foam, percent, flow: {"time": empty(foam, part(percent) * flow)},
     {"time": MINUTES}, "foam", "flow", percent=PERCENT)
both("water-endurance",
     lambda water, percent, flow: {"time": empty(water, (1 - part(percent)) * flow)},
     {"time": MINUTES}, "water", "flow", percent=PERCENT)
both("warning-time",
     lambda warning, percent, flow: {"time": empty(warning, part(percent) * flow)},
     {"time": MINUTES}, "warning", "flow", percent=PERCENT)


def endurance(foam, water, percent, foam_flow, plain_flow, supply):
    foam_time = empty(foam, part(percent) * foam_flow)
    drain = (1 - part(percent)) * foam_flow + plain_flow - supply
    # Where the supply keeps up the water does not end, and no number says so.
    if drain.magnitude <= 0:
        return None
    water_time = empty(water, drain)
    return {
        "time": min(foam_time, water_time), "foam-time": foam_time, "water-time": water_time,
    }


def metered(foam, water, percent, foam_flow, plain_flow, supply):
    """The meter counts water: all of it leaves the tank, and the foam comes on top."""
    foam_time = empty(foam, part(percent) * foam_flow)
    drain = foam_flow + plain_flow - supply
    if drain.magnitude <= 0:
        return None
    water_time = empty(water, drain)
    return {
        "time": min(foam_time, water_time), "foam-time": foam_time, "water-time": water_time,
    }


def call(by, through):
    """Both tanks followed to the end; the gauge counts what no pump reaches."""
    def worked(foam, water, percent, foam_flow, plain_flow, supply, withdrawal, foam_dead,
               water_dead):
        ends = by(foam, water, percent, foam_flow, plain_flow, supply)
        if ends is None:
            return None
        left = ends["time"]
        drain = max(through(percent) * foam_flow + plain_flow - supply, 0 * foam_flow)
        return {
            "left": left, "time": max(left - withdrawal, Q(0, "minute")),
            "say": numpy.floor(left.to("minute").magnitude),
            "foam-level": used(percent, foam_flow, withdrawal) + foam_dead,
            "water-level": drain * withdrawal + water_dead,
        }
    return worked


def calls():
    for formula, by, through in (("call-out", endurance, lambda p: 1 - part(p)),
                                 ("call-out-metered", metered, lambda p: 1)):
        for system, rest, dead in (("us", US, "gal"), ("si", SI, "L")):
            given = spans("foam", "water", "plain-flow", "supply", system=rest, percent=PERCENT)
            given.update({"foam-flow": rest["flow"], "withdrawal": ("min", 1, 12),
                          "foam-dead": (dead, 1, 20), "water-dead": (dead, 5, 200)})
            table(formula, FOLLOW, call(by, through),
                  {"time": MINUTES, "left": MINUTES, "say": MINUTES, "foam-level": answer("L"),
                   "water-level": answer("L")}, **{system: given})


for formula, work in (("endurance", endurance), ("endurance-metered", metered)):
    for system, rest in (("us", US), ("si", SI)):
        given = spans("foam", "water", "plain-flow", "supply", system=rest, percent=PERCENT)
        given["foam-flow"] = rest["flow"]
        table(formula, FOLLOW, work,
              {"time": MINUTES, "foam-time": MINUTES, "water-time": MINUTES}, **{system: given})

both("foam-endurance-metered",
     lambda foam, percent, flow: {"time": empty(foam, part(percent) * flow)},
     {"time": MINUTES}, "foam", "flow", percent=PERCENT)
both("water-endurance-metered", lambda water, percent, flow: {"time": empty(water, flow)},
     {"time": MINUTES}, "water", "flow", percent=PERCENT)
both("warning-time-metered",
     lambda warning, percent, flow: {"time": empty(warning, part(percent) * flow)},
     {"time": MINUTES}, "warning", "flow", percent=PERCENT)


def call_out(warning, percent, flow, withdrawal):
    left = empty(warning, part(percent) * flow)
    return {"left": left, "time": max(left - withdrawal, Q(0, "minute"))}


both("call-out-time", call_out, {"time": MINUTES, "left": MINUTES}, "warning", "flow",
     percent=PERCENT, withdrawal=("min", 1, 12))


def used(percent, flow, time):
    """The foam pump's counter, integrated over time."""
    rate = part(percent) * flow.to("L/min").magnitude
    return Q(quad(lambda _: rate, 0, time.to("minute").magnitude, epsrel=1e-12)[0], "L")


COUNT = "scipy.integrate.quad over time"
both("call-out-level",
     lambda percent, flow, withdrawal: {"level": used(percent, flow, withdrawal)},
     {"level": answer("L")}, "flow", by=COUNT, percent=PERCENT, withdrawal=("min", 1, 12))
both("concentrate-used", lambda percent, flow, time: {"used": used(percent, flow, time)},
     {"used": answer("L")}, "flow", by=COUNT, percent=PERCENT, time=("min", 1, 90))


def change(foam, before, after, flow, elapsed):
    gone = used(before, flow, elapsed)
    left = foam.to("L") - gone
    if left.magnitude < 0.5:
        return None
    return {"used": gone, "left": left, "time": empty(left, part(after) * flow)}


both("endurance-after-change", change,
     {"time": MINUTES, "left": answer("L"), "used": answer("L")}, "foam", "flow",
     before=PERCENT, after=PERCENT, elapsed=("min", 1, 20))


def stages_used(stages):
    each = [used(row["percent"], row["flow"], row["time"]) for row in stages]
    return Q(sum(volume.to("L").magnitude for volume in each), "L")


def totals(stages):
    flows = numpy.array([row["flow"].to("L/min").magnitude for row in stages])
    times = numpy.array([row["time"].to("minute").magnitude for row in stages])
    foam, solution = stages_used(stages), Q(float(flows @ times), "L")
    return {
        "used": foam, "solution": solution, "water": solution - foam,
        "average": (foam / solution).to("percent"),
    }


def metered_totals(stages):
    flows = numpy.array([row["flow"].to("L/min").magnitude for row in stages])
    times = numpy.array([row["time"].to("minute").magnitude for row in stages])
    foam, water = stages_used(stages), Q(float(flows @ times), "L")
    return {
        "used": foam, "solution": water + foam, "water": water,
        "average": (foam / water).to("percent"),
    }


def pails(stages, size):
    foam = stages_used(stages)
    return {"used": foam, "count": numpy.ceil((foam / size).to("dimensionless").magnitude)}


for system, rest, size in (("us", US, ("gal", 5, 55)), ("si", SI, ("L", 20, 200))):
    stages = rows_of(1, 4, percent=PERCENT, flow=rest["flow"], time=("min", 1, 30))
    table("totals-over-stages", COUNT, totals,
          {"used": answer("L"), "solution": answer("L"), "water": answer("L"),
           "average": answer("%")}, **{system: {"stages": stages}})
    table("totals-over-stages-metered", COUNT, metered_totals,
          {"used": answer("L"), "solution": answer("L"), "water": answer("L"),
           "average": answer("%")}, **{system: {"stages": stages}})
    table("pails-after-stages", COUNT + ", numpy.ceil", pails,
          {"used": answer("L"), "count": answer("")},
          **{system: {"stages": stages, "size": size}})

calls()


def at_nozzle(foam, water, percent, foam_flow, plain_flow, supply):
    """The flow is solution and the percent is of its water: 1 + p parts for each part of water."""
    through = foam_flow / (1 + part(percent))
    return metered(foam, water, percent, through, plain_flow, supply)


for system, rest, dead in (("us", US, "gal"), ("si", SI, "L")):
    given = spans("foam", "water", "plain-flow", "supply", system=rest, percent=PERCENT)
    given["foam-flow"] = rest["flow"]
    table("endurance-at-nozzle", FOLLOW, at_nozzle,
          {"time": MINUTES, "foam-time": MINUTES, "water-time": MINUTES}, **{system: given})
    given = {**given, "withdrawal": ("min", 1, 12), "foam-dead": (dead, 1, 20),
             "water-dead": (dead, 5, 200)}

    def called(foam, water, percent, foam_flow, plain_flow, supply, withdrawal, foam_dead,
               water_dead):
        through = foam_flow / (1 + part(percent))
        return call(metered, lambda p: 1)(foam, water, percent, through, plain_flow, supply,
                                          withdrawal, foam_dead, water_dead)

    table("call-out-at-nozzle", FOLLOW, called,
          {"time": MINUTES, "left": MINUTES, "say": MINUTES, "foam-level": answer("L"),
           "water-level": answer("L")}, **{system: given})
both("foam-endurance-at-nozzle",
     lambda foam, percent, flow: {
         "time": empty(foam, part(percent) * flow / (1 + part(percent)))},
     {"time": MINUTES}, "foam", "flow", percent=PERCENT)
both("water-endurance-at-nozzle",
     lambda water, percent, flow: {"time": empty(water, flow / (1 + part(percent)))},
     {"time": MINUTES}, "water", "flow", percent=PERCENT)
both("warning-time-at-nozzle",
     lambda warning, percent, flow: {
         "time": empty(warning, part(percent) * flow / (1 + part(percent)))},
     {"time": MINUTES}, "warning", "flow", percent=PERCENT)


def nozzle_totals(stages):
    """What flows is solution: the water in each stage is worked out, then the foam of that water."""
    water = [{**row, "flow": row["flow"] / (1 + part(row["percent"]))} for row in stages]
    return metered_totals(water)


for system, rest in (("us", US), ("si", SI)):
    stages = rows_of(1, 4, percent=PERCENT, flow=rest["flow"], time=("min", 1, 30))
    table("totals-over-stages-at-nozzle", COUNT, nozzle_totals,
          {"used": answer("L"), "solution": answer("L"), "water": answer("L"),
           "average": answer("%")}, **{system: {"stages": stages}})
