"""What the form of one's own tank asks, part by part, in a keeper's words."""

from __future__ import annotations

from aqualib.tank.plan.parts import HOLDS, SEEDS, SHAPES

ASKED: dict[str, tuple[str, dict[str, str]]] = {
    "tank": (
        "The tank",
        {
            "water": "Water in the tank, if you know how much",
            "length": "Length inside",
            "width": "Width inside",
            "water_depth": "Depth of the water",
            "gravel_depth": "Depth of the gravel",
            "rock": "Stones and rock",
            "air": "How fast air renews the water: still 0.04, rippled 1, strong air stones 5",
        },
    ),
    "water": (
        "The water",
        {
            "salinity": "Salt as practical salinity: fresh 0, sea 35; or sg 1.025",
            "temperature": "Temperature",
            "ph": "pH",
            "alkalinity": "Alkalinity, as calcium carbonate",
            "chloride": "Chloride, from the report of your tap water",
            "tap_nitrate": "Nitrate of the tap water, as nitrate",
        },
    ),
    "stock": (
        "Animals and food",
        {
            "fish": "Weight of all fish together",
            "one_fish": "Weight of a usual fish",
            "food": "Dry food a day",
            "protein": "Protein, from the tin",
            "solids": "Dry dirt a day, if you have weighed it",
        },
    ),
    "filter": (
        "The filter",
        {
            "shape": "Seen from above",
            "width": "Width inside (of a round one, across)",
            "length": "Length inside of a box",
        },
    ),
    "pump": (
        "The pump",
        {
            "rated_flow": "Flow that the box says",
            "rated_head": "Head that the box says",
            "power": "Power",
            "measured_flow": "Flow that you measured with a bucket",
            "price": "Price of one kWh, in your money",
        },
    ),
    "hose": (
        "The hoses",
        {
            "bore": "Bore inside",
            "length": "Length, both together",
            "elbows": "Sharp bends",
            "lift": "Height of the outlet above the water",
        },
    ),
    "lamp": (
        "Ultraviolet lamp, if there is one",
        {
            "power": "Power of the lamp",
            "hours_burnt": "Hours it has burnt",
            "hours_a_day": "Hours a day",
        },
    ),
    "carbon": ("Activated carbon, if there is some", {"mass": "Weight, dry"}),
    "care": (
        "What you do",
        {
            "change": "Share of the water changed each time",
            "change_every": "Days between water changes",
            "clean_every": "Days between cleanings of the filter",
            "seed": "Taken along from a ripe filter",
        },
    ),
    "readings": (
        "Your last test",
        {
            "ammonia": "Ammonia, as nitrogen",
            "nitrite": "Nitrite, as nitrogen",
            "nitrate": "Nitrate, as nitrate",
        },
    ),
}
"""Part -> its heading, and for each field what is asked."""

TRAYS = 8
"""Trays that the form asks for; a file may hold more."""
TRAY = {"holds": "holds", "height": "height", "media": "media in it (left open: full)"}
CHOICES = {"shape": SHAPES, "seed": SEEDS, "holds": HOLDS}
NAMES = {"name": "What you call it", "currency": "Your money, such as EUR"}
