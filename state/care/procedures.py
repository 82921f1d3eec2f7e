"""The steps of the usual procedures, as data: in the order that a careful traveller takes, each with its reason.

A step is named by its `key` in the log and by any words of its text when spoken about. `when`: a condition of the rig
or the site
(see `checklist.applies`); None is always. Order and wording are ours; the rules behind them are common practice of
the trade, and where
a published rule stands behind one the reason names it. May import: the standard library only.
"""

from __future__ import annotations

from state.lightclass import dataclass


@dataclass(frozen=True)
class Step:
    key: str
    text: str
    why: str
    when: str | None = None


ARRIVING = (
    Step(
        "look",
        "Look at the spigot, the sewer and the slope before you level",
        "the hoses decide where the rig stands best",
    ),
    Step("chocks", "Chock the wheels before you unhitch", "a rig on its wheels alone can roll"),
    Step(
        "flush",
        "Run the spigot for half a minute before anything is on it",
        "the first water has stood in a warm pipe and carries grit",
        "water",
    ),
    Step(
        "taste", "Smell and look at the water, and taste a little", "bad water is easier kept out than got out", "water"
    ),
    Step("wipe", "Wipe the spigot with sanitiser", "you don't know what the last hose on it carried", "water"),
    Step(
        "pressure",
        "Put the regulator on, then the gauge, and read it",
        "plumbing is made for a limit; codes stop buildings at 80 psi",
        "water",
    ),
    Step("reset", "Put the meter on and read it or set it to zero", "from here on it tells what comes in", "water"),
    Step(
        "hose",
        "Filter next, then the drinking water hose to the inlet",
        "a white hose that has never served waste",
        "water",
    ),
    Step(
        "open",
        "Open the spigot slowly and look for drips",
        "a slow start spares the fittings and shows a bad washer",
        "water",
    ),
    Step(
        "air",
        "Open the cold tap, then the hot, until no air comes",
        "air in the lines hammers, and a dry heater burns out",
        "water",
    ),
    Step(
        "pump-off",
        "Switch the pump off while you are on the site's water",
        "a pump against a closed line wears and may leak",
        "water",
    ),
    Step(
        "sewer",
        "Gloves on, sewer hose down and tight at both ends",
        "the hose jumps off when a tank empties; the other end must not leave its hole",
        "sewer",
    ),
    Step(
        "valves",
        "Leave the black valve closed until it is dumped",
        "solids stay behind when the liquid can run off",
        "sewer and black",
    ),
    Step(
        "fresh",
        "Fill the fresh tank if the next days need it",
        "a full tank is your reserve when the site's water fails",
        "water",
    ),
    Step(
        "look-levels",
        "Look at the tanks and tell me what you see",
        "a dry site starts with what is aboard",
        "dry",
    ),
)

LEAVING = (
    Step("plan", "Look whether the next stop has water and a sewer", "that decides what to fill and what to empty now"),
    Step("dump-black", "Dump black, then rinse it", "waste that rides along weighs and dries", "sewer and black"),
    Step("dump-grey", "Dump grey after black", "its soapy water washes the hose", "sewer and grey"),
    Step("close", "Close every waste valve and cap the outlet", "an open valve empties a tank on the road", "waste"),
    Step(
        "sewer-hose",
        "Rinse the sewer hose and stow it away from the fresh water gear",
        "a hose that served waste never touches fresh",
        "sewer",
    ),
    Step("gloves", "Gloves off, hands washed", "before anything of the fresh side is touched", "sewer"),
    Step("fill", "Fill fresh for the next stop, within your weight", "a gallon weighs more than eight pounds", "water"),
    Step("meter", "Read the meter a last time and tell me", "the stay's total is lost once it is off", "water"),
    Step("shut", "Shut the spigot, then open a tap inside", "the hose comes off dry when the pressure is out", "water"),
    Step(
        "gear",
        "Bring in what hangs outside: regulator, meter, filter, splitter, hoses",
        "what is left on a spigot is most often never seen again",
        "water",
    ),
    Step("cap", "Cap both ends of the drinking hose", "so that nothing crawls in and nothing drips out", "water"),
    Step("pump-off", "Pump and water heater off", "a loose fitting would empty the tank into the floor"),
    Step(
        "walk",
        "Walk once around the rig: steps, chocks, hoses, hatches, the ground behind you",
        "the last look finds what would be driven over, torn off or left behind",
    ),
)

DUMPING = (
    Step("gloves", "Gloves on, nothing to eat or drink at hand", "waste carries what makes people ill"),
    Step(
        "fresh-shut",
        "Shut the fresh side and keep its hose away",
        "a drop of waste in fresh is a link that codes forbid",
    ),
    Step("hose", "Sewer hose on, tight at the rig and held down at the ground", "it jumps when the tank lets go"),
    Step(
        "black",
        "Open the black valve and wait until it runs clear of solids",
        "black goes first, so that grey washes after it",
        "black",
    ),
    Step(
        "rinse",
        "Rinse black with its valve open, through its own hose and a vacuum breaker",
        "with the valve open it cannot overflow; the breaker keeps waste out of the tap",
        "black",
    ),
    Step("black-close", "Close the black valve", "so that grey cannot run into it", "black"),
    Step("grey", "Open the grey valve and let it run out", "soapy water washes the hose", "grey"),
    Step(
        "grey-close",
        "Close the grey valve, unless you stay on this sewer",
        "a closed valve holds what the next dump washes with",
        "grey",
    ),
    Step("start", "A few gallons of water back into black, with your treatment", "dry solids build up", "black"),
    Step(
        "hose-off", "Lift and rinse the hose, cap the outlet, rinse the ground", "leave the place as you would find it"
    ),
    Step("hands", "Gloves off, hands washed", "before a fresh hose or a door handle is touched"),
    Step("tell", "Tell me: dumped black and grey", "the levels start anew from there"),
)

SANITISING = (
    Step("plan", "Choose an evening: nobody drinks from it overnight", "the chlorine needs six hours"),
    Step("heater", "Water heater off and cool; bypass it if you can", "hot chlorine gases out and eats the anode"),
    Step("filter", "Take the filter cartridges out", "chlorine ruins a carbon filter, and it would use up the dose"),
    Step(
        "mix",
        "Thin the bleach in a bucket of water first, then pour it in",
        "undiluted bleach bites plastic and rubber",
    ),
    Step("fill", "Fill the tank to the brim", "the dose is made for a full tank"),
    Step("taps", "Run every tap, cold and hot, until you smell chlorine", "every pipe needs it, not only the tank"),
    Step("wait", "Let it stand six hours", "contact time is what kills"),
    Step("drain", "Drain it where chlorine may go, not on plants or into a brook", "it harms what lives there"),
    Step(
        "flush",
        "Fill and drain until no tap smells of it",
        "a test strip should show less than 4 mg/L before anyone drinks",
    ),
    Step("tell", "Filters back in, and tell me: sanitised the fresh tank", "so that I know when it is due again"),
)

FREEZING = (
    Step(
        "hose",
        "Take the hose, the filter and the regulator off and drain them",
        "what hangs outside freezes first",
        "water",
    ),
    Step("fresh", "Fill fresh and live from the tank", "the spigot may be frozen in the morning"),
    Step(
        "valves",
        "Close the waste valves and take the sewer hose in",
        "a trickle freezes in the hose and blocks it",
        "waste",
    ),
    Step("heat", "Keep the inside and the wet bay warm, cupboard doors open", "pipes behind doors freeze at night"),
    Step(
        "drip",
        "If nothing is heated: drain tanks, heater and lines",
        "ice takes a tenth more room than water and splits pipes",
    ),
)

BETTER_DONE = frozenset({"chocks", "pressure", "valves", "close", "walk"})
"""Steps of which a skip gets a word: what they guard against hurts people or floods the rig."""

LISTS: dict[str, tuple[Step, ...]] = {
    "arriving": ARRIVING,
    "leaving": LEAVING,
    "dumping": DUMPING,
    "sanitising": SANITISING,
    "freezing": FREEZING,
}
