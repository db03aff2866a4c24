"""Acceptance bands and calibration lines."""

import numpy
from scipy.optimize import linprog
from scipy.stats import linregress

from book import answer, number, table, written


def part(share):
    return share.to("dimensionless").magnitude


def highest(percent, *rules):
    """The largest percent that all rules let pass."""
    found = linprog([-1], A_ub=[[1]] * len(rules), b_ub=list(rules), bounds=[(0, None)])
    return {"high": -found.fun, "low": part(percent) * 100}


BAND = {"high": answer("%"), "low": answer("%")}
table("acceptance-band", "scipy.optimize.linprog",
      lambda percent: highest(percent, 130 * part(percent), 100 * part(percent) + 1), BAND,
      {"percent": ("%", 0.5, 6)})
table("military-band", "scipy.optimize.linprog",
      lambda percent: highest(percent, 100 * part(percent) + 1), BAND, {"percent": ("%", 1, 6)})
table("instrument-error", "pint", lambda percent, error: {"share": (error / percent).to("percent")},
      {"share": answer("%")}, {"percent": ("%", 0.1, 6), "error": ("%", 0.01, 1)})
table("standard-solution", "numpy.linalg.solve",
      lambda concentrate, total: {"percent": 100 * numpy.linalg.solve(
          [[total.magnitude]], [concentrate.magnitude])[0]},
      {"percent": answer("%")}, {"concentrate": ("mL", 1, 30), "total": ("mL", 50, 1000)})


def calibrate(points, sample):
    """Least squares by the library; the sample is read back from the line."""
    reading = lambda row: row["reading"].magnitude
    x = [part(row["percent"]) * 100 for row in points]
    y = [reading(row) for row in points]
    if not min(y) < sample.magnitude < max(y):
        return None
    line = linregress(x, y)
    return {"slope": line.slope, "intercept": line.intercept,
            "percent-found": (sample.magnitude - line.intercept) / line.slope}


def standards(base, per_percent, places, symbol=""):
    """Standards around a percent, with the scatter of an instrument."""
    def draw(chance):
        percents = sorted(chance.sample([0, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6], chance.randint(3, 6)))
        reading = lambda p: base + per_percent * p * chance.uniform(0.97, 1.03)
        return [{"percent": f"{p} %", "reading": f"{reading(p):.{places}f} {symbol}".strip()}
                for p in percents]
    return draw


def sample(base, per_percent, places, symbol=""):
    return lambda chance: f"{base + per_percent * chance.uniform(0.5, 4):.{places}f} {symbol}".strip()


LINE = {"percent-found": answer("%", 1e-6), "slope": answer("", 1e-7),
        "intercept": answer("", 1e-7)}
table("calibration-refractometer", "scipy.stats.linregress", calibrate, LINE,
      {"points": standards(1.333, 0.0016, 4), "sample": sample(1.333, 0.0016, 4)}, rows=20)
table("calibration-conductivity", "scipy.stats.linregress", calibrate, LINE,
      {"points": standards(420, 310, 0, "uS/cm"), "sample": sample(420, 310, 0, "uS/cm")}, rows=20)
