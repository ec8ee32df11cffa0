"""Systems whose plans are printed, and names that somebody might type to do harm."""

from datetime import date

from aqualib.tank.plan import Carbon, Filter, Lamp, System, Tank, Tray, example_system
from aqualib.units import Q

START = date(2030, 3, 2)
FULL = (
    "fine pad",
    "coarse pad",
    "coarse pad",
    "carbon",
    "nothing",
    "porous rings",
    "expanded clay balls",
    "coral rubble",
    "nothing",
    "porous rings",
    "medium pad",
    "settling space",
)
SYSTEMS = {
    "example": example_system(),
    "marine": example_system(marine=True),
    "nothing told": System(),
    "twelve trays": System(
        name="W" * 80,
        tank=Tank(water=Q(61, "L")),
        filter=Filter(tuple(Tray(one, Q(37, "mm")) for one in FULL), width=Q(16, "cm")),
        lamp=Lamp(),
        carbon=Carbon(),
        currency="W" * 8,
    ),
    "too heavy": System(filter=Filter((Tray("nothing", Q(5, "mm")),), "box")).changed(
        "stock", food=Q(90, "g/day")
    ),
    "no flow": example_system().changed("hose", lift=Q(3, "m")),
}
HOSTILE = (
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert('x')>",
    "</style></title><svg onload=alert(1)>",
    "&lt;b&gt; \\; , \\n BEGIN:VEVENT",
    "\u202eevil\u2066 name",
    "حوض السمك",
    "🐟" * 80,
)
