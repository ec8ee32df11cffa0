"""The plan as a blank form: a table of people works it out by hand, without a laptop."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from aqualib import __version__
from aqualib.filtration.biofilm import areal_rate
from aqualib.lesson.handout.plan_page import standing_alone
from aqualib.lesson.handout.small_doses import stock_words
from aqualib.lesson.handout.whys import CAUTIONS
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.plan.first_weeks import (
    ANIMALS_IN,
    GO_IF,
    IF_NOT,
    THEN,
    alkalinity_held,
    pause_words,
)
from aqualib.tank.plan.parts import MEDIA
from aqualib.tank.plan.trays import one_kilogram
from aqualib.tank.sizing import LIMITS
from aqualib.tank.upkeep import ammonium_chloride_dose
from aqualib.units import Q, number
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import as_nitrate

FOODS = (1, 2, 4, 8)
PROTEINS = (35, 45, 55)
WARMTHS = (20, 24, 28)
PHS = (6.5, 7.0, 7.5, 8.0, 8.5)
LEAST_SEA_PH = 7.5
WATERS = {"fresh": 0.0, "sea": 35.0}
UNITS = (("1 in", "cm"), ("1 US gal", "L"), ("1 imp gal", "L"), ("1 lb", "kg"), ("1 oz", "g"))
IN_PINT = {"US gal": "gal", "imp gal": "imperial_gallon", "in": "inch"}
TRAYS, TESTS, CHANGES = 6, 6, 3
LOOK = """\
.form { color: #000; background: #fff; font: 8.5pt/1.25 sans-serif; }
.form h1 { font-size: 1.5em; margin: 0; }
.form h2 { font-size: 1.1em; margin: .3em 0 0; border-bottom: .1em solid #000;
  break-after: avoid; }
.form p { margin: .15em 0; break-inside: avoid; }
.form .columns { columns: 2; column-gap: 1.6em; }
.form table { border-collapse: collapse; width: 100%; margin: .2em 0; break-inside: avoid; }
.form th, .form td { border: 1px solid #000; padding: 0 .3em; text-align: left;
  font-weight: normal; height: 1.5em; }
.form .printed :is(th, td) { height: auto; }
.form thead th { font-weight: bold; }
.form .fill { display: inline-block; min-width: 4.5em; border-bottom: 1px solid #000; }
.form .wide { min-width: 16em; }
.form .drawing { border: 1px solid #000; height: 7em; padding: 0 .3em; break-inside: avoid; }
.form .box { display: inline-block; width: .8em; height: .8em; border: 1.5px solid #000; }"""
FILL = '<span class="fill">&nbsp;</span>'
BOX = '<span class="box"></span>'


def as_paper_form() -> str:
    """Return the plan as a blank form of one page, with the rules and tables to work it out."""
    wide = '<span class="fill wide">&nbsp;</span>'
    inside = [
        '<section class="form">',
        "<h1>Filter plan, on paper</h1>",
        (
            f"<p>Tank of {wide} date {FILL} aqualib {__version__}. Work in metric: {_units()}. "
            "Numbers in tables are middle values; yours may be half or double.</p>"
        ),
        '<div class="columns">',
        *_tank_and_food(),
        *_filter(),
        *_carried(),
        *_flow_and_pads(),
        *_nitrate(),
        *_first_weeks(),
        *_changes_and_tests(),
        "</div>",
        f"<p><b>Cautions.</b> {escape(' '.join(CAUTIONS))}</p>",
        "</section>",
    ]
    return standing_alone("Filter plan, on paper", LOOK, "\n".join(inside))


def _units() -> str:
    """Return how the reader's own units become metric ones."""
    words = []
    for one, metric in UNITS:
        own = one.partition(" ")[2]
        words.append(f"{one} = {number(Q(1, IN_PINT.get(own, own)).m_as(metric), 4)} {metric}")
    return ", ".join(words)


def table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table; the first cell of a row is its name, and blanks stay blank.

    A table with nothing to write into is as low as its numbers.
    """
    kind = ' class="printed"' if all(all(row) for row in rows) else ""
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in headings)
    body = "".join(f"<tr>{_cells(row)}</tr>" for row in rows)
    return f"<table{kind}><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cells(row: Sequence[str]) -> str:
    first, *rest = (escape(text) for text in row)
    name = f'<th scope="row">{first}</th>' if first else "<td></td>"
    return name + "".join(f"<td>{text}</td>" for text in rest)


def _tank_and_food() -> list[str]:
    stone = number(1.0 / parameter("granite_density").value * 1000.0, 2)
    made = ammonia_per_gram()
    rows = [
        (f"{food} g", *(number(food * made * protein / 100.0, 3) for protein in PROTEINS))
        for food in FOODS
    ]
    return [
        "<h2>1 Water and food</h2>",
        (
            f"<p>Length {FILL} × width {FILL} × depth of water {FILL} cm ÷ 1000 = {FILL} L, less "
            f"{stone} L for each kg of stone: water {FILL} L.</p>"
        ),
        f"<p>Food of a week {FILL} g ÷ 7 = {FILL} g a day. Protein {FILL} %.</p>",
        f"<p>Ammonia as N: food × protein ÷ 100 × {number(made)} = {FILL} mg a day.</p>",
        table(("food a day", *(f"{p} % protein" for p in PROTEINS)), rows),
    ]


def ammonia_per_gram() -> float:
    """Return the mg of ammonia, as nitrogen, that a gram of pure protein becomes."""
    return float(ammonia_production(Q(1, "g/day"), 1.0).m_as("mg/day"))


def _filter() -> list[str]:
    kinds = [
        (kind, *(number(n, 2) for n in (bed.outer_area.best, bed.bed_density / 1000.0)))
        for kind, bed in ((kind, one_kilogram(kind)) for kind in MEDIA)
    ]
    blank = [(str(at), *("",) * 4) for at in range(1, TRAYS + 1)]
    return [
        "<h2>2 The filter, in the water's order</h2>",
        (
            f"<p>Floor: round, width × width × 0.785; box, width × length: {FILL} cm². Litres of a "
            "tray: floor × height ÷ 1000.</p>"
        ),
        table(("tray", "holds", "cm", "L", "kg"), blank),
        '<div class="drawing">Draw it, with the way of the water:</div>',
        "<p>Order that wastes least: settling space, coarse, medium, fine, then media.</p>",
        table(("media", "m² in a kg", "kg in a L"), kinds),
        f"<p>Pads: {number(pad_area_per_litre(), 2)} m² in a L.</p>",
    ]


def pad_area_per_litre() -> float:
    """Return the m² of a litre of pads that are free of dirt."""
    foam = one_kilogram("open-cell foam")
    share = parameter("pad_surface_free").bare
    return float(foam.outer_area.best / foam.volume.best) * share / 1000.0


def film_rate(warmth: float, salinity: float) -> float:
    """Return the mg of ammonia nitrogen that a m² eats in a day at the ammonia that may stay."""
    allowed = parameter("ammonia_allowed").quantity
    return float(areal_rate(allowed, Q(warmth, "degC"), salinity).m_as("mg/m**2/day"))


def _carried() -> list[str]:
    rates = [
        (water, *(number(film_rate(warmth, salt), 2) for warmth in WARMTHS))
        for water, salt in WATERS.items()
    ]
    limits = ", ".join(f"{BOX} {escape(words)}" for words in LIMITS.values())
    rule, turnovers = parameter("media_rule").value, parameter("turnover_rule").value
    allowed = number(parameter("ammonia_allowed").value, 2)
    return [
        "<h2>3 What it carries</h2>",
        (
            f"<p>Surface: media {FILL} + pads {FILL} = {FILL} m². It eats so much ammonia (mg of N "
            f"for each m² a day, with {allowed} mg/L left):</p>"
        ),
        table(("water", *(f"{warmth} °C" for warmth in WARMTHS)), rates),
        (
            f"<p>Surface × that = {FILL} mg a day; ÷ protein × 100 ÷ {number(ammonia_per_gram())} "
            f"= <b>carries {FILL} g of food a day.</b> Limited by: {limits}.</p>"
        ),
        (
            f"<p>You give less than half of it: {BOX} comfortable. Up to one and a half: {BOX} "
            f"tight. More: {BOX} too much.</p>"
        ),
        (
            f"<p>By the trade's rules (no source): {number(rule)} kg of media for 100 L (marine); "
            f"{number(turnovers)} tanks of water an hour by the box. Yours: {FILL} kg, {FILL} "
            "tanks.</p>"
        ),
    ]


def _flow_and_pads() -> list[str]:
    room, dirt = parameter("dirt_per_pad_litre").value, parameter("solids_per_feed").value
    weeks = number(parameter("filter_cleaning").high)
    return [
        "<h2>4 Flow and pads</h2>",
        (
            f"<p>Bucket {FILL} L ÷ {FILL} seconds × 3600 = {FILL} L/h; the box says {FILL}. "
            f"Just cleaned {FILL}, when due {FILL}.</p>"
        ),
        (
            f"<p>Pads {FILL} L × {number(room)} g ÷ (food × {number(dirt, 2)}) = {FILL} days to "
            f"cleaning, {weeks} weeks at most.</p>"
        ),
    ]


def _nitrate() -> list[str]:
    ion = number(float(as_nitrate.bare(1.0)))
    return [
        "<h2>5 Nitrate</h2>",
        (
            f"<p>Ammonia a day × {ion} ÷ water = {FILL} mg/L a day; × days between changes = "
            f"{FILL}; × 100 ÷ % changed + nitrate of the tap = {FILL} mg/L before a change.</p>"
        ),
    ]


def _first_weeks() -> list[str]:
    """Return what a new filter asks: a dose, and when it is safe, in the words of the plan."""
    salt = float(ammonium_chloride_dose(Q(1, "L"), Q(1, "mg/L")).m_as("mg"))
    fresh, sea = (number(float(safe_nitrite(s).m_as("mg/L")), 2) for s in WATERS.values())
    held = [alkalinity_held(s).partition(" ")[0] for s in WATERS.values()]
    least = number(parameter("ammonia_allowed").value, 2)
    return [
        "<h2>6 If it is new</h2>",
        (
            f"<p>Begin on {FILL}, lamp off, no animals. Ammonia a day (if part 3 says too much: of "
            f"the food that it carries) × {number(salt)} = {FILL} mg of ammonium chloride a day; "
            f"{pause_words()} {stock_words()} {ANIMALS_IN}</p>"
        ),
        (
            f"<p>Test ammonia, nitrite and alkalinity every second day, near GO daily. Alkalinity "
            f"below {held[0]} mg/L ({held[1]} in the sea): top it up.</p>"
        ),
        (
            f"<p>{GO_IF} Lines, as N: nitrite {fresh} mg/L (fresh, more with chloride) or {sea} "
            f"(sea); ammonia as below, or ammonia a day ÷ water × days of dosing ÷ 2 = {FILL} "
            f"mg/L where that is less, but no less than {least}.</p>"
        ),
        ammonia_lines(),
        (
            f"<p>{THEN} a third of the animals, on {FILL}; {IF_NOT[0].lower()}{IF_NOT[1:]} Each "
            "third a week after the last, if both tests were below the lines two days after it; "
            "never more than the filter carries. Lamp a week after GO.</p>"
        ),
    ]


def ammonia_lines() -> str:
    """Return the ammonia, in mg/L as N, that animals bear for long, by pH and warmth."""
    heads = [f"{water} {warmth} °C" for water in WATERS for warmth in WARMTHS]
    rows = [
        (f"pH {ph:g}", *(_line(ph, warmth, s) for s in WATERS.values() for warmth in WARMTHS))
        for ph in PHS
    ]
    return table(("ammonia", *heads), rows)


def _line(ph: float, warmth: float, salinity: float) -> str:
    """Return a limit rounded down, for a line is there to stay below; no sea is sour."""
    if salinity and ph < LEAST_SEA_PH:
        return "–"
    limit = float(total_ammonia_limits(ph, Q(warmth, "degC"), salinity).chronic.m_as("mg/L"))
    return f"{math.floor(100.0 * limit) / 100.0:.2f}"


def _changes_and_tests() -> list[str]:
    changes = [("", *("",) * 3)] * CHANGES
    tests = [("", *("",) * 4)] * TESTS
    return [
        "<h2>7 What I change, and what I test</h2>",
        table(("change", "food, before → after", "days", "nitrate"), changes),
        table(("date", "ammonia", "nitrite", "nitrate", "pH"), tests),
    ]
