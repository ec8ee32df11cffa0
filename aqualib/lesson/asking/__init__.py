"""Questions in the page: guesses, exercises, what was answered, and the record of it."""

from __future__ import annotations

from aqualib.lesson.asking.comparing import compare
from aqualib.lesson.asking.folding import fold
from aqualib.lesson.asking.log_from_page import ChosenLog, chosen_log
from aqualib.lesson.asking.own_box import BoxForm, judge_the_box
from aqualib.lesson.asking.own_tank import TankForm
from aqualib.lesson.asking.question import ask, guess
from aqualib.lesson.asking.sheet import exercises
from aqualib.lesson.asking.sum_with_boxes import box, with_boxes
