"""The second panel of lesson 14: a filter opened, cleaned and started again, step by step."""

from __future__ import annotations

from aqualib.lesson.charts.care_in_steps import STEPS, Care, CareInSteps
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel


def compute(step: float) -> Care:
    """Return the drawing of a step."""
    return Care(round(step))


def describe(care: Care) -> str:
    """Say in one sentence what is done at this step."""
    done = "; ".join(said.rstrip(".")[0].lower() + said.rstrip(".")[1:] for _, said in care.step.do)
    return f"Step {care.number} of {len(STEPS)}, {care.step.title}: {done}."


def answer(care: Care) -> tuple[str, str]:
    """Name the step."""
    return f"Step {care.number} of {len(STEPS)}:", care.step.title


def care_panel() -> Panel:
    """Return the panel of drawings: one slider turns them over."""
    controls = {"step": Slider("Step", "care_step", 1.0)}
    title = "Open it, clean it, start it again"
    return Panel(title, controls, compute, CareInSteps(), describe, answer)
