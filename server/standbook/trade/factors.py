"""Unit factors: ``FACTORS[kind][unit] = (scale, offset)``, canonical value = x * scale + offset.

Written by ``python -m standbook.units`` from ``units.txt``; change those, never this file.
The canonical unit of a kind is the one with (1.0, 0.0) that stands first in ``CANONICAL``.
"""

FACTORS = {
    "length": {
        "mm": (1.0, 0.0),
        "um": (0.001, 0.0),
        "in": (25.4, 0.0),
        "thou": (0.0254, 0.0),
    },
    "area": {
        "mm2": (1.0, 0.0),
        "in2": (645.16, 0.0),
    },
    "volume": {
        "cm3": (1.0, 0.0),
        "in3": (16.387064, 0.0),
        "L": (1000.0, 0.0),
        "galUS": (3785.411784, 0.0),
        "flozUS": (29.5735295625, 0.0),
    },
    "force": {
        "N": (1.0, 0.0),
        "lbf": (4.4482216152605, 0.0),
        "kgf": (9.80665, 0.0),
    },
    "mass": {
        "g": (1.0, 0.0),
        "kg": (1000.0, 0.0),
        "lb": (453.59237, 0.0),
        "oz": (28.349523125, 0.0),
    },
    "torque": {
        "N*m": (1.0, 0.0),
        "lbf*ft": (1.3558179483314003, 0.0),
        "lbf*in": (0.1129848290276167, 0.0),
        "kgf*m": (9.80665, 0.0),
    },
    "energy": {
        "J": (1.0, 0.0),
        "lbf*ft": (1.3558179483314003, 0.0),
    },
    "pressure": {
        "kPa": (1.0, 0.0),
        "Pa": (0.001, 0.0),
        "bar": (100.0, 0.0),
        "psi": (6.894757293168361, 0.0),
        "atm": (101.325, 0.0),
        "MPa": (1000.0, 0.0),
        "inHg": (3.386388640341, 0.0),
        "inHg60": (3.376848535088, 0.0),
        "mmHg": (0.133322387415, 0.0),
        "inH2O": (0.24908891, 0.0),
        "kgf/cm2": (98.0665, 0.0),
    },
    "temperature": {
        "degC": (1.0, 0.0),
        "degF": (0.5555555555555556, -17.77777777777778),
        "K": (1.0, -273.15),
    },
    "temperature-difference": {
        "K": (1.0, 0.0),
        "ddegF": (0.5555555555555556, 0.0),
    },
    "expansion": {
        "1/K": (1.0, 0.0),
        "1/degF": (1.8, 0.0),
    },
    "angle": {
        "deg": (1.0, 0.0),
    },
    "speed": {
        "rpm": (1.0, 0.0),
        "rad/s": (9.54929658551372, 0.0),
    },
    "velocity": {
        "m/s": (1.0, 0.0),
        "ft/min": (0.00508, 0.0),
        "mph": (0.44704, 0.0),
        "km/h": (0.2777777777777778, 0.0),
        "in/s": (0.0254, 0.0),
    },
    "acceleration": {
        "m/s2": (1.0, 0.0),
        "g0": (9.80665, 0.0),
    },
    "power": {
        "kW": (1.0, 0.0),
        "W": (0.001, 0.0),
        "hp": (0.7456998715822702, 0.0),
        "hpM": (0.73549875, 0.0),
    },
    "volume-flow": {
        "cm3/s": (1.0, 0.0),
        "ft3/min": (471.9474432, 0.0),
    },
    "compliance": {
        "mm/N": (1.0, 0.0),
        "in/lbf": (5.710147154732646, 0.0),
    },
    "time": {
        "min": (1.0, 0.0),
        "h": (60.0, 0.0),
    },
    "turns": {
        "turn": (1.0, 0.0),
        "eighth": (0.125, 0.0),
    },
    "ratio": {
        "1": (1.0, 0.0),
        "%": (0.01, 0.0),
    },
    "count": {
        "1": (1.0, 0.0),
    },
}

# A table of its own: MicroPython's dicts forget the order in which they were written.
CANONICAL = {
    "length": "mm",
    "area": "mm2",
    "volume": "cm3",
    "force": "N",
    "mass": "g",
    "torque": "N*m",
    "energy": "J",
    "pressure": "kPa",
    "temperature": "degC",
    "temperature-difference": "K",
    "expansion": "1/K",
    "angle": "deg",
    "speed": "rpm",
    "velocity": "m/s",
    "acceleration": "m/s2",
    "power": "kW",
    "volume-flow": "cm3/s",
    "compliance": "mm/N",
    "time": "min",
    "turns": "turn",
    "ratio": "1",
    "count": "1",
}
