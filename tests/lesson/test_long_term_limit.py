"""The word on ammonia that harms over weeks: where it stands, and that its number is the limit."""

import pytest

from aqualib.lesson.long_term_limit import warning
from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.water.ammonia import chronic_criterion, saltwater_chronic_criterion

WARM = Q(25, "degC")


@pytest.mark.parametrize(
    ("salinity", "limit"),
    [
        (0, chronic_criterion(parameter("tank_ph").value, WARM).m_as("kg/m**3")),
        (35, saltwater_chronic_criterion(8.2, WARM, 35).m_as("kg/m**3")),
    ],
)
def test_said_from_the_limit_on(salinity, limit):
    assert warning(0.999 * limit, 298.15, salinity) == ""
    assert f"{1e3 * limit:.2g}" in warning(1.001 * limit, 298.15, salinity)


@pytest.mark.parametrize(
    ("make", "sea"),
    [(carries_panel, {"salinity": 35}), (needs_panel, {}), (audit_panel, {})],
    ids=["carries", "needs", "audit"],
)
def test_each_panel_of_the_loads_says_it(make, sea):
    panel = make()
    panel.replay(**sea)
    assert "harms over weeks" not in panel.sentence
    panel.replay(ammonia=0.5, **sea)
    at = parameter("sea_ph").value, Q(panel.values["temperature"], "degC"), 35
    limit = saltwater_chronic_criterion(*at).m_as("mg/L")
    told = f"harms over weeks: the long-term limit is {limit:.2g} mg/L at pH 8.2."
    assert told in panel.sentence
    panel.close()
