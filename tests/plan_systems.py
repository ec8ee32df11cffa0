"""Invented systems, from a shelf to a college, that the tests of the plan speak of."""

from aqualib.tank.plan import (
    Care,
    Filter,
    Hose,
    Pump,
    Stock,
    System,
    Tank,
    Tray,
    Water,
    filled,
    outcome,
    ranked_changes,
)
from aqualib.units import Q


def mm(height):
    return Q(height, "mm")


def nano(**changes):
    """A shrimp tank on a shelf: 20 L, a tenth of a gram of food, a box of one pad and rings."""
    return System(
        name="Shelf (invented)",
        tank=Tank(water=Q(20, "L")),
        stock=Stock(fish=Q(6, "g"), one_fish=Q(0.5, "g"), food=Q(0.1, "g/day")),
        filter=Filter(
            (Tray("medium pad", mm(40)), Tray("porous rings", mm(40))),
            shape="box",
            width=Q(10, "cm"),
            length=Q(8, "cm"),
        ),
        pump=Pump(measured_flow=Q(100, "L/h"), power=Q(3, "W")),
        care=Care(change=Q(30, "percent"), change_every=Q(7, "day"), clean_every=Q(21, "day")),
        **changes,
    )


def college(**changes):
    """A college's recirculating unit: 20 m³, 1 kg of food a day, a sump with mats and carriers."""
    return System(
        name="Teaching unit (invented)",
        tank=Tank(water=Q(20000, "L"), air=Q(8, "1/h")),
        water=Water(temperature=Q(26, "degC"), ph=7.2, salinity=0, tap_nitrate=Q(5, "mg/L")),
        stock=Stock(
            fish=Q(100000, "g"),
            one_fish=Q(150, "g"),
            food=Q(1000, "g/day"),
            protein=Q(40, "percent"),
        ),
        filter=Filter(
            (
                Tray("settling space", mm(500)),
                Tray("coarse pad", mm(150)),
                Tray("medium pad", mm(150)),
                Tray("moving plastic carriers", mm(1000), Q(500, "kg")),
            ),
            shape="box",
            width=Q(200, "cm"),
            length=Q(200, "cm"),
        ),
        pump=Pump(rated_flow=Q(30000, "L/h"), rated_head=Q(6, "m"), power=Q(500, "W")),
        hose=Hose(bore=Q(110, "mm"), length=Q(20, "m"), elbows=6, lift=Q(1, "m")),
        care=Care(change=Q(10, "percent"), change_every=Q(1, "day"), clean_every=Q(4, "day")),
        **changes,
    )


def as_it_was_bought(**changes):
    """A filter with its finest pad first, a bag of carbon, few rings and an empty tray."""
    return System(
        name="From the shop (invented)",
        tank=Tank(water=Q(90, "L")),
        filter=Filter(
            (
                Tray("fine pad", mm(30)),
                Tray("carbon", mm(40)),
                Tray("nothing", mm(50)),
                Tray("coarse pad", mm(30)),
                Tray("porous rings", mm(60), Q(0.3, "kg")),
            ),
            width=Q(17, "cm"),
        ),
        **changes,
    )


def tried(system):
    """What a system does, and its changes by their names, the one that buys most first."""
    whole, _ = filled(system)
    before = outcome(whole)
    return before, {change.name: change for change in ranked_changes(whole, before)}
