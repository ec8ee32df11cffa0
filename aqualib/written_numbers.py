"""Numbers as people write them, with point or comma: read, or asked about if two may be meant."""

from __future__ import annotations

import re

GROUPED = re.compile(r"([1-9]\d{0,2}),(\d{3})")
PLAIN = re.compile(r"\d*[.,]?\d+|\d+[.,]")
THOUSANDS_BY_COMMA = re.compile(r"\d{1,3}(,\d{3})+(\.\d+)?")
THOUSANDS_BY_POINT = re.compile(r"\d{1,3}(\.\d{3})+(,\d+)?")


class TwoMeaningsError(ValueError):
    """Digits that may be one of two numbers, or none; its words ask for one of them."""


def plain_digits(digits: str) -> str:
    """Return digits without a sign, with a decimal point and nothing else between them.

    "1,200" may be one and a fifth or twelve hundred: nobody guesses, and the words ask.
    """
    digits = digits.replace(" ", "")
    if both := GROUPED.fullmatch(digits):
        a, b = both.groups()
        raise TwoMeaningsError(f"Is that {a}.{b} or {a}{b}? Write one of these two.")
    if PLAIN.fullmatch(digits):
        return digits.replace(",", ".")
    if THOUSANDS_BY_COMMA.fullmatch(digits):
        return digits.replace(",", "")
    if THOUSANDS_BY_POINT.fullmatch(digits):
        return digits.replace(".", "").replace(",", ".")
    raise TwoMeaningsError("Write the number with one decimal point or comma at most.")
