"""`python -m aqualib` opens the lessons; a word after it chooses another way to read them."""

from __future__ import annotations

import importlib
import signal
import sys
from collections.abc import Sequence

from aqualib.validity import ValidityError

WAYS = {
    "pages": "aqualib.lesson.serving.pages",
    "class": "aqualib.lesson.serving.class_room.configuration",
    "browser": "aqualib.lesson.serving.browser.site",
    "module": "aqualib.lesson.leading.course",
    "plans": "aqualib.lesson.handout.many_plans",
}
USUAL = "aqualib.lesson.serving.own_copies"


def main(arguments: Sequence[str]) -> int:
    """Serve the lessons in the way asked for; say in words why it cannot be done."""
    # A shell that starts a program behind it lets it ignore Ctrl+C; ours ends by it, always.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    way = WAYS.get(arguments[0]) if arguments else None
    module = importlib.import_module(way or USUAL)
    try:
        module.main(arguments[1:] if way else arguments)
    except (ValidityError, OSError, RuntimeError) as problem:
        print(f"aqualib: {problem}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
