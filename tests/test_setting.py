"""A setting: one word of a few, and those who follow it while they live."""

import numpy as np
import pytest

from aqualib.setting import Setting
from aqualib.validity import ValidityError


class Listener:
    def __init__(self):
        self.heard = 0

    def hear(self):
        self.heard += 1


def test_what_is_none_of_its_words_is_refused_and_short():
    setting = Setting("size", ("page", "projector"))
    for odd in (None, 1, [], ["page"], {}, b"page", np.array(["page", "page"]), "P" * 100_000):
        with pytest.raises(ValidityError, match='Valid: "page" or "projector"') as refused:
            setting.set(odd)
        assert len(str(refused.value)) < 200
    assert setting.value == "page"


def test_those_who_are_gone_are_forgotten():
    setting = Setting("size", ("page", "projector"))
    for _ in range(100):
        setting.follow(Listener().hear)
    last = Listener()
    setting.follow(last.hear)
    assert len(setting._listeners) == 1
    setting.set("projector")
    assert last.heard == 1
