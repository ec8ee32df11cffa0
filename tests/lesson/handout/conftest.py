"""The plans of a few systems, made once, and units as every lesson starts."""

import pytest
from plans_to_print import START, SYSTEMS

from aqualib.tank.plan import make_plan
from aqualib.units import set_units


@pytest.fixture(scope="session")
def plans():
    """The plan of each system."""
    return {name: make_plan(system, START) for name, system in SYSTEMS.items()}


@pytest.fixture
def plan(plans):
    """The plan of the example, in metric units."""
    return plans["example"]


@pytest.fixture(autouse=True)
def metric():
    """Units as every lesson starts, before and after."""
    set_units("metric")
    yield
    set_units("metric")
