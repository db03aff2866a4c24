"""Every unit of ours in SI base units."""

from book import Q, UNITS, number, unit

SYMBOLS = (
    "in ft yd mm cm m in2 ft2 mm2 m2 acre in3 ft3 gal impgal qt floz L mL m3 s min h gpm gph impgpm "
    "L/min L/s m3/h scfm ft3/min m3/min lb oz kg g lbf N psi kPa bar MPa inHg lb/gal lb/ft3 kg/L kg/m3 "
    "mg/L gpm/ft2 L/min/m2 J kJ MJ Btu Btu/lb kJ/kg kW MW Fdeg Cdeg mS/cm uS/cm dBA %"
).split() + [
    "psi/(100 gpm)^2/100 ft", "kPa/(100 L/min)^2/100 m", "bar/(100 L/min)^2/100 m",
]


def factor(symbol):
    """What one of the unit is in the units that SI calls coherent."""
    return float(f"{Q(1, unit(symbol)).to_base_units().magnitude:.11e}")


def scales():
    """Readings on the two scales, which have no common zero."""
    return [{"degF": f, "degC": number(Q(f, "degF").to("degC").magnitude, "")}
            for f in (-40, 0, 32, 60, 68, 98.6, 212, 451)]


OTHERS = {
    "units": {"by": "pint", "rows": [{"unit": s, "factor": factor(s)} for s in SYMBOLS]},
    "scales": {"by": "pint", "rows": scales()},
}
