"""Published constants of the rest of the job: chlorine, density, pressure, frost, lifting, upkeep. Each with unit,
source and standing.

`standing` tells how far a figure can be leaned on: `text` (read in the source), `restated` (read where another text
restates it),
`computed`, `memory` (not confirmed), `practice` (common practice of the trade, no published source). May import:
nothing.
"""

from __future__ import annotations

from state.lightclass import Literal, dataclass

Standing = Literal["text", "restated", "computed", "memory", "practice"]


@dataclass(frozen=True)
class Figure:
    value: float
    unit: str
    source: str
    standing: Standing


# ---------------------------------------------------------------- chlorine

KANSAS = "Kansas Dept. of Health and Environment, disinfection page (50 mg/L in 1000 gal = 122 fl oz of 5.25 %)"
OREGON = "Basics for Small Water Systems in Oregon, storage tank options"
C652 = "AWWA C652-19, method 3, as restated by published field guides"
EPA_EMERGENCY = "EPA 816-F-15-003, Emergency Disinfection of Drinking Water"
CDC_EMERGENCY = "CDC, Make Water Safe During an Emergency"

SANITISE_MG_PER_LITRE = Figure(50.0, "mg/L as chlorine", f"{KANSAS}; {OREGON}", "text")
CONTACT_HOURS = Figure(6.0, "h at 50 mg/L", f"{OREGON}; {C652}", "restated")
STRONGEST_MG_PER_LITRE = Figure(200.0, "mg/L as chlorine", "AWWA C652-19, method 2 (surfaces only)", "restated")
BLEACH_PERCENT = Figure(6.0, "g/100 mL", "the weaker of the two strengths of the EPA table", "text")
DRINKING_LIMIT_MG_PER_LITRE = Figure(4.0, "mg/L as chlorine", "MRDL, 40 CFR 141.65", "text")
DROPS_PER_GALLON_6 = Figure(8.0, "drops per US gallon, 5 to 6 %", CDC_EMERGENCY, "text")
DROPS_PER_GALLON_8 = Figure(6.0, "drops per US gallon, 8.25 %", CDC_EMERGENCY, "text")
DRINKING_ML_PER_GALLON = Figure(0.5, "mL per US gallon, both strengths", CDC_EMERGENCY, "text")
DRINKING_TSP_PER_GALLON_6 = Figure(1 / 12, "tsp per US gallon from 4 gal, 6 %", EPA_EMERGENCY, "restated")
DRINKING_TSP_PER_GALLON_8 = Figure(1 / 16, "tsp per US gallon from 4 gal, 8.25 %", EPA_EMERGENCY, "restated")
DRINKING_STAND_MINUTES = Figure(30.0, "min", EPA_EMERGENCY, "restated")
DRINKING_TABLE_GALLONS = Figure(8.0, "US gallons, the largest row", EPA_EMERGENCY, "memory")

# ---------------------------------------------------------------- density and weight

# Tanaka et al., Metrologia 38 (2001) 301-309, doi 10.1088/0026-1394/38/4/3; range 0 to 40 °C, air-free water at
# 101.325 kPa.
# Coefficients from memory; checked in the tests against IAPWS-95 values computed by two independent libraries.
TANAKA = (-3.983035, 301.797, 522528.9, 69.34881, 999.974950)
TANK_CELSIUS = Figure(15.0, "°C", "a tank outdoors; 0 to 40 °C changes the weight by less than 0.8 %", "computed")
LIFT_KILOGRAMS = Figure(23.0, "kg", "NIOSH 94-110, load constant of the revised lifting equation", "restated")

# ---------------------------------------------------------------- pressure

KPA_PER_PSI = 6.894757293168361
CODE_CEILING_KPA = Figure(80 * KPA_PER_PSI, "kPa static", "Uniform Plumbing Code 2015 and 2024, section 608.2", "text")
ALARM_KPA = Figure(60 * KPA_PER_PSI, "kPa", "common practice for rigs: alarm above 60 psi", "practice")
SET_LOW_KPA = Figure(40 * KPA_PER_PSI, "kPa", "common practice for rigs: regulators set to 40-50 psi", "practice")
SET_HIGH_KPA = Figure(50 * KPA_PER_PSI, "kPa", "common practice for rigs: regulators set to 40-50 psi", "practice")
LOW_KPA = Figure(20 * KPA_PER_PSI, "kPa", "25 CCR 1276: at least 15 or 20 psi at a trailer lot", "text")

# ---------------------------------------------------------------- frost

FREEZING_CELSIUS = Figure(0.0, "°C", "freezing point of water; a hose or an open valve has no margin", "text")
URGENT_CELSIUS = Figure(
    (20 - 32) / 1.8,
    "°C",
    "Gordon, Univ. of Illinois BRC 1996: 20 °F alert threshold, pipes in southern houses",
    "restated",
)

# ---------------------------------------------------------------- hoses (flow before anyone has timed it)

HAZEN_WILLIAMS_C = Figure(140.0, "", "fits all 20 cells of Iowa State Extension's hose table (1996)", "computed")

# ---------------------------------------------------------------- upkeep: days and litres (the owner's own interval
# goes first)

_PRACTICE = "common practice, no source; the maker's label goes first"
UPKEEP_DAYS: dict[str, Figure] = {
    "water_filter": Figure(90, "days", _PRACTICE, "practice"),
    "sanitise": Figure(182, "days", _PRACTICE, "practice"),
    "hose": Figure(730, "days", _PRACTICE, "practice"),
    "washers": Figure(365, "days", _PRACTICE, "practice"),
    "regulator": Figure(365, "days", _PRACTICE, "practice"),
    "anode": Figure(365, "days", _PRACTICE, "practice"),
    "heater_flush": Figure(365, "days", _PRACTICE, "practice"),
}
UPKEEP_LITRES: dict[str, Figure] = {"water_filter": Figure(3785.0, "L (1000 US gal)", _PRACTICE, "practice")}
