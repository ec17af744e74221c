"""Reference conversions of units by pint, exact, as fractions.

Run from the project's folder: python3 tests/reference/units.py > tests/reference/units.json
(pint 0.25.3; the numbers are fractions, so nothing is rounded before the last step)
"""
import json
from decimal import ROUND_HALF_EVEN, Decimal, getcontext
from fractions import Fraction

import pint

getcontext().prec = 80
ureg = pint.UnitRegistry(non_int_type=Fraction)

DIMENSIONS = [
    {"in": "inch", "ft": "foot", "linear ft": "foot", "yd": "yard", "mm": "millimeter", "cm": "centimeter", "m": "meter"},
    {"sq in": "inch**2", "sq ft": "foot**2", "sq yd": "yard**2", "sq m": "meter**2"},
    {"bd ft": "board_foot", "cu in": "inch**3", "cu ft": "foot**3", "cu m": "meter**3"},
    {"oz": "ounce", "lb": "pound", "g": "gram", "kg": "kilogram"},
    {"fl oz": "fluid_ounce", "pt": "pint", "qt": "quart", "gal": "gallon", "ml": "milliliter", "l": "liter"},
]
AMOUNTS = ["1", "2", "7", "2.5", "320", "0.125", "1234.56"]
SIZES = [("48", "96", "0.75"), ("48.5", "120", "0.0238"), ("9", "120", "1.25"), ("1.5", "96", "2"), ("30.015625", "61.984375", "1.765625")]


def written(value):
    """The decimal as the program gives it: exact where it ends within 28 places, else nine places, halves to even."""
    below = value.denominator
    twos = fives = 0
    while below % 2 == 0:
        below, twos = below // 2, twos + 1
    while below % 5 == 0:
        below, fives = below // 5, fives + 1
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    if below == 1 and max(twos, fives) <= 28:
        text = format(exact, "f")
    else:
        text = format(exact.quantize(Decimal("1e-9"), rounding=ROUND_HALF_EVEN), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def base(quantity, unit):
    value = quantity.to(unit).magnitude
    return value if isinstance(value, Fraction) else Fraction(value)


plain = []
for names in DIMENSIONS:
    for a, pint_a in names.items():
        for b, pint_b in names.items():
            for amount in AMOUNTS:
                value = base(ureg.Quantity(Fraction(amount), pint_a), pint_b)
                plain.append([amount, a, b, written(value)])

sized = []
for across, along, thickness in SIZES:
    inch = ureg.inch
    w, l, t = (Fraction(x) * inch for x in (across, along, thickness))
    counted = max(t, Fraction(1) * inch)  # lumber under 1 in counts as 1 in
    piece = {"sheet": None, "linear ft": ("foot", l), "m": ("meter", l), "sq ft": ("foot**2", w * l), "sq m": ("meter**2", w * l)}
    piece["bd ft"] = ("board_foot", w * l * counted)
    for amount in AMOUNTS:
        n = Fraction(amount)
        for unit, known in piece.items():
            if known is None:
                continue
            pint_unit, one = known
            sized.append([amount, "sheet", unit, across, along, thickness, written(base(n * one, pint_unit))])
            pieces = base(ureg.Quantity(n, pint_unit), one.units) / one.magnitude
            sized.append([amount, unit, "sheet", across, along, thickness, written(pieces)])
        area = ureg.Quantity(n, "foot**2")
        sized.append([amount, "sq ft", "bd ft", across, along, thickness, written(base(area * counted, "board_foot"))])
        sized.append([amount, "sq ft", "cu m", across, along, thickness, written(base(area * t, "meter**3"))])
        run = ureg.Quantity(n, "foot")
        sized.append([amount, "linear ft", "sq ft", across, along, thickness, written(base(run * w, "foot**2"))])

lines = ",\n".join(json.dumps(row) for row in plain), ",\n".join(json.dumps(row) for row in sized)
print('{"plain": [\n' + lines[0] + '\n],\n"sized": [\n' + lines[1] + "\n]}")
