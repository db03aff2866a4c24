"""Hose, nozzle and pump hydraulics from fluid mechanics."""

import math

import fluids
from iapws import IAPWS97

from book import Q, answer, rows_of, table

WATER = IAPWS97(T=293.15, P=0.101325)
RHO, MU = Q(WATER.rho, "kg/m**3"), WATER.mu
GRAVITY = Q(9.80665, "m/s**2")
NOMINAL = ("nominal bore and one coefficient for all hoses of it; real friction follows bore, "
           "lining and Reynolds number")
COEFFICIENT = ("psi/(100 gpm)^2/100 ft", 0.1, 150)
COEFFICIENT_SI = ("kPa/(100 L/min)^2/100 m", 0.2, 240)
FLOW, FLOW_SI = ("gpm", 60, 1000), ("L/min", 200, 4000)
LENGTH, LENGTH_SI = ("ft", 50, 800), ("m", 15, 250)
NOZZLE, NOZZLE_SI = ("psi", 40, 150), ("kPa", 300, 1000)
BORE, BORE_SI = ("in", 0.5, 2), ("mm", 12, 50)


def by_coefficient(coefficient, flow, length):
    """The coefficient with its units, worked by the units library."""
    return (coefficient * flow**2 * length).to("kPa")


def darcy(bore, flow, length, roughness):
    """Darcy-Weisbach with the library's friction factor, which solves Colebrook's equation."""
    d = bore.to("m").magnitude
    v = flow.to("m**3/s").magnitude / (math.pi * d * d / 4)
    factor = fluids.friction_factor(
        Re=fluids.Reynolds(V=v, D=d, rho=RHO.magnitude, mu=MU),
        eD=roughness.to("m").magnitude / d,
    )
    loss = factor * length.to("m").magnitude / d * RHO.magnitude * v * v / 2
    return Q(loss, "Pa")


LOSS_US = {"coefficient": COEFFICIENT, "flow": FLOW, "length": LENGTH}
LOSS_SI = {"coefficient": COEFFICIENT_SI, "flow": FLOW_SI, "length": LENGTH_SI}
def feeds(found):
    """A loss that a pump could feed; beyond it the formula refuses."""
    return {"loss": found} if found.to("psi").magnitude < 600 else None


table("friction-loss", "pint, the coefficient with its units",
      lambda **g: feeds(by_coefficient(**g)), {"loss": answer("kPa")},
      LOSS_US, LOSS_SI)

HOSE = ["1.5 in", "1.75 in", "2.5 in", "3 in", "5 in"]
COMMON = {"1.5": (60, 125), "1.75": (95, 200), "2.5": (180, 350), "3": (250, 500),
          "5": (600, 1500)}


def common_flow(bore, flow, length):
    least, most = COMMON[f"{bore.magnitude:g}"]
    if not least <= flow.to("gallon/minute").magnitude <= most:
        return None
    return {"loss": darcy(bore, flow, length, Q(0.05, "mm"))}


table("friction-loss-by-table", "fluids.friction_factor, Darcy-Weisbach, roughness 0.05 mm",
      common_flow, {"loss": answer("psi", 0.45, NOMINAL)},
      {"bore": HOSE, "flow": ("gpm", 60, 1500), "length": ("ft", 100, 400)}, rows=24)


def hazen_williams(bore, flow, smoothness):
    """The metric form of the same rule, over 100 feet."""
    head = (10.67 * 30.48 * flow.to("m**3/s").magnitude**1.852
            / (smoothness.magnitude**1.852 * bore.to("m").magnitude**4.8704))
    return Q(head, "m") * GRAVITY * Q(1000, "kg/m**3")


PIPE = {"bore": ("in", 1.5, 6), "flow": ("gpm", 60, 1000), "smoothness": ("", 100, 150)}
table("friction-loss-pipe", "pint, the metric Hazen-Williams form",
      lambda **g: feeds(hazen_williams(**g)),
      {"loss": answer("psi", 0.008, "exponents 1.85 and 4.87 here, 1.852 and 4.8704 there")},
      PIPE)


def smooth_pipe(bore, flow, smoothness):
    v = (flow / (math.pi * bore**2 / 4)).to("m/s").magnitude
    if not 1 < v < 6:
        return None
    return {"loss": darcy(bore, flow, Q(100, "foot"), Q(0.0015, "mm"))}


table("friction-loss-pipe", "fluids.friction_factor, Darcy-Weisbach, drawn tubing",
      smooth_pipe,
      {"loss": answer("psi", 0.2, "Hazen-Williams knows no Reynolds number; 150 stands for the "
                                  "smoothest pipe")},
      {**PIPE, "smoothness": ["150"]})
ROUGH = ("mm", 0.01, 0.3)
table("friction-loss-roughness", "fluids.friction_factor, Colebrook",
      lambda bore, flow, roughness: feeds(darcy(bore, flow, Q(100, "foot"), roughness)),
      {"loss": answer("psi", 0.03, "Swamee and Jain's explicit factor for Colebrook's, and "
                                   "rounded properties of water at 20 degC")},
      {"bore": ("in", 1, 6), "flow": FLOW, "roughness": ROUGH})


def old_rule(flow):
    hundreds = (flow / Q(100, "gallon/minute")).to("dimensionless").magnitude
    return {"old": Q(2 * hundreds**2 + hundreds, "psi"),
            "new": by_coefficient(Q(2, "us_hose"), flow, Q(100, "foot"))}


table("friction-loss-old-rule", "pint", old_rule, {"old": answer("psi"), "new": answer("psi")},
      {"flow": ("gpm", 100, 900)})


def jet(bore, pressure):
    """Bernoulli without loss: flow, speed and thrust of a jet."""
    speed = (2 * pressure / RHO) ** 0.5
    flow = speed * math.pi * bore**2 / 4
    return {"flow": flow, "reaction": (RHO * flow * speed).to("N")}


CD = "29.7 stands for a discharge coefficient of 0.995, Bernoulli for 1"
table("nozzle-flow", "pint and iapws, Bernoulli at 20 degC", jet,
      {"flow": answer("L/min", 0.006, CD)},
      {"bore": BORE, "pressure": NOZZLE}, {"bore": BORE_SI, "pressure": NOZZLE_SI})
table("reaction-solid", "pint, momentum of the Bernoulli jet", jet,
      {"reaction": answer("N", 0.0008, "1.57 is half of pi, cut to three figures")},
      {"bore": BORE, "pressure": NOZZLE}, {"bore": BORE_SI, "pressure": NOZZLE_SI})


def fog(flow, pressure):
    return {"reaction": (RHO * flow * (2 * pressure / RHO) ** 0.5).to("N")}


table("reaction-fog", "pint and iapws, momentum without loss", fog,
      {"reaction": answer("N", 0.045, "0.0505 allows for a speed of 0.96 of the lossless jet")},
      {"flow": FLOW, "pressure": NOZZLE}, {"flow": FLOW_SI, "pressure": NOZZLE_SI})


def constant(density):
    speed = (2 * Q(1, "psi") / density) ** 0.5
    return speed * math.pi * Q(1, "inch**2") / 4


ROUNDED = "constants of the working to four or five figures"
table("nozzle-constant-from-density", "pint, Bernoulli",
      lambda density: {"constant": constant(density)},
      {"constant": answer("gpm", 2e-6, ROUNDED)}, {"density": ("lb/ft3", 60, 65)})


def column(height, density=RHO):
    return (density * GRAVITY * height).to("kPa")


table("elevation-pressure", "pint and iapws, weight of water at 20 degC",
      lambda height: {"elevation": column(height), "field": column(height)},
      {"elevation": answer("psi", 0.004, "0.434 psi and 9.81 kPa are rounded upwards"),
       "field": answer("psi", 0.16, "half a psi a foot is the field rule, on the safe side")},
      {"height": ("ft", 5, 300)}, {"height": ("m", 2, 100)})
table("lift-height", "pint and iapws, weight of water at 20 degC",
      lambda pressure: {"height": pressure / (RHO * GRAVITY)},
      {"height": answer("m", 0.004, "2.304 ft stand for water at 4 degC and 62.5 lb/ft3")},
      {"pressure": ("psi", 5, 200)}, {"pressure": ("kPa", 35, 1500)})
table("column-pressure", "pint", lambda density, height: {"pressure": column(height, density)},
      {"pressure": answer("kPa")},
      {"density": ("lb/ft3", 60, 66), "height": ("ft", 1, 300)},
      {"density": ("kg/m3", 950, 1060), "height": ("m", 0.5, 100)})


def pump(nozzle, coefficient, flow, length, elevation=Q(0, "kPa"), appliance=Q(0, "kPa"),
         service_test=Q(1, "kPa")):
    friction = by_coefficient(coefficient, flow, length)
    pressure = nozzle + friction + elevation + appliance
    if not 0 < pressure.to("psi").magnitude < 600:
        return None
    return {"friction": friction, "pressure": pressure, "caution": 0.9 * service_test}


def over_sections(nozzle, sections, elevation, appliance):
    friction = sum(by_coefficient(**row) for row in sections)
    pressure = nozzle + friction + elevation + appliance
    if not 0 < pressure.to("psi").magnitude < 600:
        return None
    return {"friction": friction, "pressure": pressure}


PUMP, PUMP_SI = {**LOSS_US, "nozzle": NOZZLE}, {**LOSS_SI, "nozzle": NOZZLE_SI}
MORE = {"elevation": ("psi", -20, 60), "appliance": ("psi", 0, 25)}
MORE_SI = {"elevation": ("kPa", -140, 400), "appliance": ("kPa", 0, 170)}
LINES = "pint, the coefficient with its units"
BOTH = {"pressure": answer("kPa"), "friction": answer("kPa")}
table("pump-pressure", LINES, pump, BOTH, PUMP, PUMP_SI)
table("pump-pressure-full", LINES, pump, BOTH, {**PUMP, **MORE}, {**PUMP_SI, **MORE_SI})
table("pump-pressure-limit", LINES, pump,
      {"pressure": answer("kPa"), "caution": answer("kPa")},
      {**PUMP, **MORE, "service-test": ("psi", 200, 400)},
      {**PUMP_SI, **MORE_SI, "service-test": ("kPa", 1400, 2800)})
table("pump-pressure-sections", LINES, over_sections, BOTH,
      {"nozzle": NOZZLE, **MORE, "sections": rows_of(1, 3, **LOSS_US)},
      {"nozzle": NOZZLE_SI, **MORE_SI, "sections": rows_of(1, 3, **LOSS_SI)})


def metric_coefficient(coefficient):
    """The same loss by hundreds of metres and of litres a minute."""
    return {"metric": coefficient.to("kpa_hose")}


table("metric-coefficient", "pint", metric_coefficient,
      {"metric": answer("kPa/(100 L/min)^2/100 m", 1e-6)},
      {"coefficient": COEFFICIENT})
