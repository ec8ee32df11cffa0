"""A plan as one page to print: A4 or Letter, black on white, and nothing else needed."""

from __future__ import annotations

import re
from html import escape

from aqualib.lesson.handout import first_of_all, plan_words
from aqualib.lesson.handout.filter_svg import filter_svg
from aqualib.lesson.handout.plan_words import Line, Part
from aqualib.lesson.handout.ranked import MOST_CHANGES, Ranked, headings, ranked
from aqualib.lesson.handout.whys import CAUTIONS, WHYS
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.lesson.whole_page import html_page
from aqualib.tank.plan import FilterPlan

SHEET = "aqualib-plan"
"""The class of the page's one section: every rule of its look begins with it."""
ROOMY = 5400
"""Letters of a plan that leave room on the sheet for larger ones."""
FULL = 6000
"""Letters of a plan from which a sheet is full: it then has fewer changes and shorter whys."""
FULLEST = 8000
"""Letters from which even that does not fit: the sheet then has smaller ones."""
SMALLER = "<style>@media print { .aqualib-plan.fullest { font-size: 7pt; } }</style>"
FEWER_CHANGES = 3
DRAWN = 100
"""Letters whose room a layer in the drawing takes."""
TAG = re.compile("<[^>]*>")
LONG_NAME = 40
LOOK = """\
.aqualib-plan { color: #000; background: #fff; font: 11pt/1.25 sans-serif; max-width: 62em; }
.aqualib-plan * { color: #000; box-sizing: border-box; }
.aqualib-plan h1 { font-size: 1.8em; font-weight: bold; line-height: 1.15; margin: 0;
  overflow-wrap: anywhere; }
.aqualib-plan h1.long { font-size: 1.2em; }
.aqualib-plan p { margin: 0 0 .3em; }
.aqualib-plan .verdict { font-size: 1.4em; font-weight: bold; border: .12em solid #000;
  padding: .2em .4em; margin: .3em 0; }
.aqualib-plan .verdict span { font-size: .75em; font-weight: normal; }
.aqualib-plan .before { border: .25em double #000; padding: .2em .4em; margin: .3em 0;
  font-weight: bold; }
.aqualib-plan .columns { columns: 2; column-gap: 1.6em; }
.aqualib-plan .drawn, .aqualib-plan li { break-inside: avoid; }
.aqualib-plan .part { margin: 0 0 .4em; }
.aqualib-plan h2 { font-size: 1.1em; font-weight: bold; margin: 0; border-bottom: .1em solid #000;
  break-after: avoid; }
.aqualib-plan ul.lines { list-style: none; margin: 0; padding: 0; }
.aqualib-plan li { margin: 0; padding-left: .9em; text-indent: -.9em; }
.aqualib-plan table.ranked { border-collapse: collapse; width: 100%; margin: 0 0 .4em;
  font-size: 1em; table-layout: auto; }
.aqualib-plan table.ranked th, .aqualib-plan table.ranked td { border: 1px solid #000;
  padding: 0 .3em; text-align: left; vertical-align: top; font-weight: normal;
  background: #fff; white-space: normal; max-width: none; }
.aqualib-plan table.ranked td.move { white-space: nowrap; }
.aqualib-plan table.ranked thead th { font-weight: bold; }
.aqualib-plan caption { font-size: 1.1em; font-weight: bold; text-align: left; }
.aqualib-plan svg { display: block; width: 100%; max-height: 29em; }
@media screen and (max-width: 50em) { .aqualib-plan .columns { columns: 1; } }
@media print {
.aqualib-plan { font-size: 7.4pt; line-height: 1.2; max-width: none; }
.aqualib-plan.roomy { font-size: 7.6pt; }
}"""
PAPER = """\
@page { margin: 6mm; }
body { margin: 0; }
@media screen { body { margin: 1em; } }"""


def as_plan_page(plan: FilterPlan, lessons: str = "..") -> str:
    """Return a plan as one page of HTML that needs nothing else.

    It is black on white and fits one sheet of A4 or Letter. It has no script and needs no
    network. `lessons` is the folder of the lessons, seen from where the page will lie.
    """
    return standing_alone(f"{plan.system.name}: filter plan", LOOK, plan_sheet(plan, lessons))


def standing_alone(title: str, look: str, sheet: str) -> str:
    """Return a sheet with its look as a whole page."""
    return html_page(title, f"{PAPER}\n{look}", [sheet])


def plan_sheet(plan: FilterPlan, lessons: str = "..") -> str:
    """Return the sheet alone, for a page that is there."""
    parts = [
        plan_words.this_water(plan),
        plan_words.care(plan),
        plan_words.flow(plan),
        plan_words.first_weeks(plan),
        plan_words.lamp_carbon_power(plan),
        plan_words.measures(plan),
        plan_words.assumed(plan),
        plan_words.beside(plan),
    ]
    inside = [
        *_head(plan),
        '<div class="columns">',
        f'<div class="part drawn">{filter_svg(plan.whole)}</div>',
        *map(_part, filter(lambda part: part.lines, parts)),
    ]
    letters = len(TAG.sub("", "".join(inside))) + DRAWN * len(plan.whole.places)
    inside += [
        _whys(lessons, in_full=letters < FULL),
        "</div>",
        _changes(plan, MOST_CHANGES if letters < FULL else FEWER_CHANGES),
        f"<p><b>Cautions.</b> {escape(' '.join(CAUTIONS))}</p>",
    ]
    look = SHEET + " roomy" * (letters < ROOMY)
    if letters >= FULLEST:
        look, inside = f"{SHEET} fullest", [SMALLER, *inside]
    return "\n".join([f'<section class="{look}">', *inside, "</section>"])


def _head(plan: FilterPlan) -> list[str]:
    name, short = plan.system.name, first_of_all.in_short(plan)
    look = ' class="long"' if len(name) > LONG_NAME else ""
    means = escape(f"{first_of_all.action(plan)} {first_of_all.first_thing(plan)}".strip())
    return [
        # What was typed stands apart, so that letters from right to left turn nothing round.
        f"<h1{look}><bdi>{escape(name)}</bdi></h1>",
        f"<p>{escape(first_of_all.byline(plan))}</p>",
        *_before(plan),
        f'<p class="verdict">{escape(short)} <span>{means}</span></p>',
    ]


def _before(plan: FilterPlan) -> list[str]:
    """Return what the readings ask for before any plan, in a frame of its own."""
    found = first_of_all.alarms(plan)
    if not found:
        return []
    lines = "".join(f"<li>{escape(words)}</li>" for words in found)
    title = f"<h2>{escape(first_of_all.BEFORE)}</h2>"
    return [f'<div class="before">{title}<ul class="lines">{lines}</ul></div>']


def _part(part: Part) -> str:
    lines = "".join(map(_line, part.lines))
    return f'<div class="part"><h2>{escape(part.title)}</h2><ul class="lines">{lines}</ul></div>'


def _line(line: Line) -> str:
    return f"<li><b>{escape(line.term)}:</b> <bdi>{escape(line.words)}</bdi></li>"


def _changes(plan: FilterPlan, most: int) -> str:
    """Return the ranked changes as a table, the best first."""
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in headings())
    body = "".join(map(_change, ranked(plan, most)))
    left = len(plan.changes) - most
    more = f" (the first {most}; {left} more gain less)" if left > 0 else ""
    return (
        f'<table class="ranked"><caption>Changes, the one that buys most first{more}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    )


def _change(one: Ranked) -> str:
    moves = "".join(f'<td class="move">{escape(text)}</td>' for text in one.moves)
    first = f'<th scope="row">{escape(one.words)}</th>'
    return f"<tr>{first}{moves}<td>{escape(one.worth)}</td></tr>"


def _whys(lessons: str, *, in_full: bool) -> str:
    """Return why the numbers are what they are; on a full sheet where it stands, and no more."""
    files = {name[:2]: name for name in shipped_lessons()}
    lines = "".join(
        f"<li><b>{escape(why.about)}.</b> {escape(why.words) if in_full else ''} "
        f"{_link(lessons, files.get(why.lesson, ''), why.lesson)} [{escape(why.source)}]</li>"
        for why in WHYS
    )
    return f'<div class="part"><h2>Why</h2><ul class="lines">{lines}</ul></div>'


def _link(lessons: str, name: str, number: str) -> str:
    if not name:
        return f"Lesson {escape(number)}"
    place = f"{lessons}/{name}" if lessons else name
    return f'<a href="{escape(place)}">Lesson {escape(number)}</a>'
