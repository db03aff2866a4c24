"""Class B demand as products of quantities with their units."""

from scipy.optimize import brentq

from book import Q, answer, table

RATE, RATE_SI = ("gpm/ft2", 0.06, 0.3), ("L/min/m2", 2.5, 12)
AREA, AREA_SI = ("ft2", 100, 8000), ("m2", 10, 800)
DURATION, PERCENT = ("min", 5, 65), ("%", 1, 6)


def part(share):
    return share.to("dimensionless").magnitude


def demand(area, rate, duration, percent, **_):
    flow = (area * rate).to("L/min")
    solution = (flow * duration).to("L")
    # Foam and water stand in the solution as percent to the rest of the hundred.
    water = brentq(lambda w: w * part(percent) - (solution.magnitude - w) * (1 - part(percent)),
                   0, solution.magnitude, xtol=1e-12, rtol=1e-14)
    foam = solution - Q(water, "L")
    return {"flow": flow, "solution": solution, "concentrate": foam, "water": Q(water, "L"),
            "concentrate-flow": foam / duration}


US = {"area": AREA, "rate": RATE, "duration": DURATION, "percent": PERCENT}
SI = {"area": AREA_SI, "rate": RATE_SI, "duration": DURATION, "percent": PERCENT}
BALANCE = "pint and scipy.optimize.brentq"
ANSWERS = {name: answer("L") for name in ("concentrate", "solution")} | {"flow": answer("gpm")}
STOCK = {"concentrate-on-scene": ("gal", 20, 500), "water-on-scene": ("gal", 500, 20000)}
STOCK_SI = {"concentrate-on-scene": ("L", 80, 2000), "water-on-scene": ("L", 2000, 80000)}
table("class-b-demand", BALANCE, demand,
      {**ANSWERS, "water": answer("L"), "concentrate-flow": answer("L/min")},
      {**US, **STOCK}, {**SI, **STOCK_SI})
table("class-b-concentrate", BALANCE, demand, ANSWERS, US, SI)
table("application-flow", "pint", lambda area, rate: {"flow": area * rate},
      {"flow": answer("L/min")},
      {"area": AREA, "rate": RATE}, {"area": AREA_SI, "rate": RATE_SI})
table("area-for-flow", "pint", lambda flow, rate: {"area": flow / rate}, {"area": answer("m2")},
      {"flow": ("gpm", 60, 1500), "rate": RATE}, {"flow": ("L/min", 250, 6000), "rate": RATE_SI})


def for_stock(stock, percent, rate, duration):
    need = lambda metres: demand(Q(metres, "m**2"), rate, duration, percent)[
        "concentrate"].to("L").magnitude - stock.to("L").magnitude
    return {"area": Q(brentq(need, 1e-6, 1e7, xtol=1e-9, rtol=1e-13), "m**2")}


table("area-for-stock", "scipy.optimize.brentq on the demand", for_stock,
      {"area": answer("m2", 1e-8)},
      {"stock": ("gal", 20, 500), "percent": PERCENT, "rate": RATE, "duration": DURATION},
      {"stock": ("L", 80, 2000), "percent": PERCENT, "rate": RATE_SI, "duration": DURATION})
table("metric-rate", "pint", lambda rate: {"metric": rate}, {"metric": answer("L/min/m2", 1e-6)},
      {"rate": ("gpm/ft2", 0.01, 1)})


def airport(water, percent):
    p = part(percent)
    rest = brentq(lambda c: c * (1 - p) - water.to("L").magnitude * p, 0, 1e7, xtol=1e-12,
                  rtol=1e-14)
    return {"concentrate": water.to("L") * p * 2, "solution-basis": Q(2 * rest, "L")}


table("airport-quantity", BALANCE, airport,
      {"concentrate": answer("L"), "solution-basis": answer("L")},
      {"water": ("gal", 500, 6000), "percent": PERCENT},
      {"water": ("L", 2000, 24000), "percent": PERCENT})
