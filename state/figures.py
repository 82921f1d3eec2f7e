"""Published figures and starting values of the trade for use, meters and people: each with unit, source and standing.

"Common practice, no source" is said where that is so. Chlorine, weight, pressure: figures_safety.py.
May import: nothing.
"""

from __future__ import annotations

GALLON = 3.785411784
"""Litres in a US gallon, exact. NIST Handbook 44, appendix C: 231 cubic inches."""

METER_SHARE = 0.01
"""Standard deviation of an inlet meter's scale error. New displacement meters must be within 98.5-101.5 % (83 Ill. Adm. Code 600.310,
after AWWA), class 2 meters within 2 % (Directive 2014/32/EU annex III, OIML R 49): 2 % is taken as two standard deviations."""

METER_STEP_LITRES = 0.25
"""How finely a reading is read and said. Common practice, no source: dials and displays show tenths of a gallon."""

GREY_SHARE = 8.0 / 9.0
"""Part of the indoor use that reaches grey before anything is learned. Common practice, no source: close to nine tenths."""

BLACK_SHARE = 0.06
"""Part of the *unlogged* indoor use that reaches black before anything is learned: the middle of FLUSHED."""

GREY_SHARE_SD = 0.05
"""Standard deviation of the first share of the one kind of waste tank there is. Common practice, no source."""

OUTSIDE_SHARE_SD = 0.034
"""Standard deviation of the part of indoor use that reaches no tank (drunk, cooked off). Such a part is not below nothing, so no more reaches
the tanks than ran: about what a normal of 0.04 leaves above it. Common practice, no source."""

FLUSHED = ((0.58, 0.035, 0.022), (0.08, 0.13, 0.05), (0.20, 0.24, 0.07), (0.14, 0.42, 0.12))
"""What part of a household's water is flushed, as long as its rig and its log have not told: (weight, mean, standard deviation), summed up.
Most flush as frugal rigs do (common practice, no source), some a little more: three flushes a day a person with the typical uses below come to
a sixth. Many flush as houses do: 24 % of indoor use (Residential End Uses of Water v2, Water Research Foundation 4309b, 2016, restated), some
half of it, where few people live and little else runs. Weights and spreads: common practice, no source."""

FLUSHED_PLACES = (0.012, 0.032, 0.055, 0.085, 0.125, 0.175, 0.235, 0.31, 0.4, 0.52)
"""Where the narrow kinds of household stand among which that is told apart (split.py)."""

FLUSHED_SD = 0.19
"""Standard deviation with which the filter carries that part: wide enough for all of them."""

CAPACITIES = ((0.8, 0.045), (0.2, 0.17))
"""How far a tank's true usable capacity is from the one told: (weight, standard deviation over it). Most are a little off, since the vent, the
slope of the site and the fittings take their part; of some the number is of the whole tank, of another model, or rounded: one in thirteen
is off by 15 %. Common practice, no source."""

CAPACITY_DOUBT = sum(weight * sd * sd for weight, sd in CAPACITIES) ** 0.5
"""Standard deviation of the whole of those: what the filter carries. With less than 0.08 three "full" in a row left a tank 15 % off half
learned."""

GUESSED_CAPACITY_DOUBT = 0.4
"""The same for a tank of which no capacity was told. Common practice, no source."""

LEFTOVER = 0.01
LEFTOVER_SD = 0.01
"""What stays in a dumped tank, over capacity. Common practice, no source."""

SEEN_SD = 0.05
ROUGHLY_SD = 0.08
FULL_SD = 0.02
EMPTY_SD = 0.015
SENSOR_SD = 0.15
SENSOR_HIGH_SD = 0.30
"""What a person or a panel sensor says, over capacity. Common practice, no source. A fouled probe shows a waste tank too full, so a
sensor above the belief is trusted less than one below."""

TOLD_SD = 0.05
"""Doubt of a logged volume that was said, over itself. Common practice, no source."""

DEFAULT_LITRES = {"fresh": 40 * GALLON, "grey": 40 * GALLON, "black": 30 * GALLON}
"""Capacity of a tank nobody told. Common practice, no source."""

TYPICAL_LITRES: dict[str, float] = {
    "shower": 2 * GALLON,
    "bath": 12 * GALLON,
    "dishes": 1.5 * GALLON,
    "handwash": 0.12 * GALLON,
    "teeth": 0.1 * GALLON,
    "shave": 0.35 * GALLON,
    "face": 0.25 * GALLON,
    "toilet": 0.4 * GALLON,
    "laundry": 8 * GALLON,
    "cooking": 0.5 * GALLON,
    "drinking": 0.13 * GALLON,
    "coffee": 0.3 * GALLON,
    "cleaning": 0.75 * GALLON,
    "pets": 0.6 * GALLON,
    "outside": 3 * GALLON,
    "other": 1 * GALLON,
}
"""One use, by a household that saves water, before its own are known. Common practice, no source; a house uses far more (a shower 15.8
gal in Residential End Uses of Water v2, Water Research Foundation 4309b, 2016, restated), and an interrupted shower 3 gal (restated)."""

TYPICAL_CV = 0.45
"""Spread of one use over its typical volume before own uses are known. Common practice, no source."""

FLOW_LITRES_PER_MINUTE: dict[str, float] = {"shower": 1.5 * GALLON}
"""Flow while it runs, where minutes are said. Below the 2.0 gpm of a WaterSense showerhead (EPA P10180T5) since pumps and
regulators throttle. Common practice, no source."""

FLOW_ELSE = 1.0 * GALLON
