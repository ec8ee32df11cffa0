"""What every run of one case must do with good and with bad input, tried on all of them."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from inventory import models

from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.hydraulics import PumpCurve, hose_loss
from aqualib.tank.sizing import FilterSystem
from aqualib.units import Q
from aqualib.validity import Kind, OneOf, Range, Turned, ValidityError

AREA = Q(491, "cm**2")
PUMP = PumpCurve.from_limits(Q(2.2, "m"), Q(1200, "L/h"))
LOOP = [hose_loss(Q(16, "mm"), Q(3, "m"), Q(25, "degC"))]
DIRT = {"production": Q(1, "g/day"), "volume": Q(200, "L"), "temperature": Q(25, "degC")}
GOOD = {
    "filtration.hydraulics.operating_point": {"pump": PUMP, "losses": LOOP},
    "filtration.hydraulics.canister_loop": {
        "bore": Q(16, "mm"),
        "length": Q(3, "m"),
        "elbows": 4,
        "temperature": Q(25, "degC"),
    },
    "filtration.capture.size_classes": {"count": 5},
    "filtration.capture.equal_load_efficiencies": {"total": 0.9, "stages": 3},
    "filtration.capture.clog_run": {
        "stages": [settling_space(AREA, Q(50, "mm")), pad("fine", AREA, Q(40, "mm"))],
        "pump": PUMP,
        "losses": LOOP,
        "duration": Q(10, "day"),
        **DIRT,
    },
    "filtration.capture.best_stacks": {
        "tray_height": Q(40, "mm"),
        "area": AREA,
        "pump": PUMP,
        "losses": LOOP,
        **DIRT,
    },
    "filtration.carbon.carbon_run": {
        "mass": Q(100, "g"),
        "flow": Q(300, "L/h"),
        "production": Q(20, "mg/day"),
        "volume": Q(200, "L"),
        "duration": Q(10, "day"),
    },
    "filtration.biofilm.what_limits": {
        "oxygen": Q(7, "mg/L"),
        "total_ammonia_nitrogen": Q(0.5, "mg/L"),
        "temperature": Q(25, "degC"),
    },
    "filtration.ultraviolet.replacement_date": {"start": date(2026, 1, 1), "share": 0.7},
    "filtration.media.media_bed": {"kind": "lava rock", "mass": Q(1, "kg")},
    "filtration.porous_piece.working_piece": {
        "shape": "sphere",
        "size": Q(10, "mm"),
        "total_ammonia_nitrogen": Q(0.5, "mg/L"),
        "oxygen": Q(7, "mg/L"),
        "temperature": Q(25, "degC"),
    },
    "tank.sizing.what_it_carries": {"system": FilterSystem()},
    "tank.symptoms.diagnose": {
        "symptom": "nitrite stays",
        "nitrite": Q(1, "mg/L"),
        "alkalinity": Q(80, "mg/L"),
    },
    "tank.sizing.what_it_needs": {"system": FilterSystem(), "feed": Q(4, "g/day")},
}


def test_every_run_is_tried():
    assert set(GOOD) == set(models())
    for path, given in GOOD.items():
        models()[path](**given)


def bad_values(rule: object) -> list[object]:
    if not isinstance(rule, Range):
        few = ["no such thing", 1, 0.5, np.nan, {}]
        # An empty list may be a loop without parts, and a list of nothing is no list of stages.
        return few if isinstance(rule, OneOf | Turned) else [*few, [1, 2]]
    numbers = [np.nan, np.inf, rule.low - max(1.0, abs(rule.low)), np.array([rule.low] * 3)]
    with_unit = [Q(each, rule.unit) if rule.unit else each for each in numbers]
    return [*with_unit, *([rule.low] if rule.unit else []), Q(1, "candela"), "much", True, {}]


@pytest.mark.parametrize("path", GOOD)
def test_bad_arguments_are_refused_by_name(path):
    run, quiet = models()[path], []
    for name, rule in run.rules.items():
        if not isinstance(rule, Range | OneOf | Kind | Turned):
            continue
        for value in bad_values(rule):
            try:
                run(**{**GOOD[path], name: value})
            except ValidityError as error:
                if error.parameter.partition("[")[0] != name:
                    quiet.append(f"{name} = {value!r} blames {error.parameter}")
            else:
                quiet.append(f"{name} = {value!r} was taken")
    assert quiet == []


def test_what_must_be_given():
    for path, given in GOOD.items():
        for name in given:
            parameter = models()[path].signature.parameters[name]
            if parameter.default is parameter.empty and "None" not in str(parameter.annotation):
                with pytest.raises(ValidityError, match=name):
                    models()[path](**{**given, name: None})


def test_no_stage_is_no_filter():
    with pytest.raises(ValidityError, match="stages"):
        models()["filtration.capture.clog_run"](
            **{**GOOD["filtration.capture.clog_run"], "stages": []}
        )
