"""Why the plan says so: two lines under each number, the lesson that works it out, the source."""

from __future__ import annotations

from typing import NamedTuple


class Why(NamedTuple):
    """Why a number is what it is: in two lines, with its lesson and the key of its source."""

    about: str
    words: str
    lesson: str
    source: str


WHYS = (
    Why(
        "Food carried",
        "Food becomes ammonia, and a film on surfaces eats so much of it a day. Oxygen and room "
        "for dirt set limits too; the smallest counts.",
        "07",
        "NijhofBovendeur1990",
    ),
    Why(
        "Flow",
        "Hose, bends, pads and media take head from the pump, so less arrives than stands on the "
        "box.",
        "04",
        "Colebrook1939, TP410",
    ),
    Why(
        "Days to cleaning",
        "Coarse dirt stays in coarse pads, fine dirt goes on. A pad is due when the face that "
        "meets the water is half full.",
        "05",
        "PattersonWatts2003; room in pads: assumed",
    ),
    Why(
        "Ready day",
        "Two kinds of bacteria grow from a seed, the second on what the first one makes. So "
        "nitrite falls last.",
        "03",
        "HiattGrady2008",
    ),
    Why(
        "Lines of the tests",
        "They are the limits that animals bear for a month: more ammonia harms at high pH and "
        "warmth.",
        "02",
        "EPA2013, BCNitrite2009",
    ),
    Why(
        "Nitrate",
        "It rises until a change takes out what came in since the last one. Waiting does not "
        "lower it.",
        "11",
        "TimmonsEbeling2013",
    ),
)
CAUTIONS = (
    "Local rules and licensed practice come first.",
    (
        "Electricity: unplug everything before a hand goes in; residual-current switch (RCD, GFCI) "
        "of 30 mA or less; drip loops; for mains work a licensed electrician."
    ),
    "Lamp: never look at a lit ultraviolet lamp; it must not burn outside its housing.",
    (
        "Glass and pressure: a litre weighs a kilogram; close valves and let pressure off before "
        "you open a filter; look for leaks after an hour."
    ),
    (
        "Chemicals: gloves and goggles; never mix ammonia or acid with bleach; ammonia only "
        "without animals."
    ),
    "Animals: a sum never replaces a test, a look at them, or a vet. Add few, test, wait.",
)
"""What every page says that leads hands into a filter."""
