"""From a slider's new value to the finished picture, inside the kernel, model included.

    python tests/benchmarks/slider_in_kernel.py [--quick]

Every control of every panel but those of lessons 03 and 12 is swept over its range. The same moves
go to `interact` with a new pyplot figure each time, in the same run. Budget: 16 ms for 95 % of
moves. `--quick` makes few moves and leaves `interact` out: enough to see that it still runs.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import itertools
import time

import matplotlib as mpl
import numpy as np
from ipywidgets import FloatSlider, interactive
from measure import PANELS, late, machine, median, new_figure, saved

from aqualib.lesson.controls import Choice, Slider

MOVES, FEW_MOVES = 60, 8
BUDGET = 16.0


def sweep(control, moves=MOVES):
    """Return the values a hand gives a control, up and down its range; each is a move."""
    if isinstance(control, Choice):
        stops = list(control.words)
    elif not isinstance(control, Slider):
        stops = [False, True]
    else:
        low, high, step = control.parameter.low, control.parameter.high, control.step
        stops = low + np.round((np.linspace(low, high, moves // 2) - low) / step) * step
        stops = [min(float(stop), high) for stop in np.unique(stops)]
    return list(itertools.islice(itertools.cycle([*stops, *stops[-2:0:-1]]), moves))


def ours(panel, name, moves):
    """Return the milliseconds each move of one control takes."""
    samples = []
    for turn, value in enumerate(sweep(panel.controls[name], moves)):
        message = {"do": "set", "name": name, "value": value, "turn": turn}
        drawn = panel.updates
        start = time.perf_counter()
        panel._on_message(None, message, None)
        if panel.updates > drawn:  # the first value may be the one that is there
            samples.append(1000.0 * (time.perf_counter() - start))
    panel.reset()
    return samples


def by_interact(panel, name):
    """Return a slider that draws a panel's chart as `interact` does."""
    values = {other: control.bare for other, control in panel.controls.items()}
    control = panel.controls[name]
    row = control.parameter

    def draw(value):
        figure, sentence = new_figure(panel, {**values, name: row.to_base(value)})
        saved(figure)
        print(sentence)

    slider = FloatSlider(value=control.start, min=row.low, max=row.high, step=control.step)
    interactive(draw, value=slider).update()
    return slider


def common(panel):
    """Return the milliseconds that a part of the same moves take by `interact`."""
    samples = []
    sliders = [name for name, control in panel.controls.items() if isinstance(control, Slider)]
    for name in sliders:
        slider = by_interact(panel, name)
        for value in sweep(panel.controls[name])[:: max(1, len(sliders) - 1)]:
            if value == slider.value:
                continue
            start = time.perf_counter()
            slider.value = value
            samples.append(1000.0 * (time.perf_counter() - start))
    return samples


def main():
    """Print the table."""
    options = argparse.ArgumentParser()
    options.add_argument("--quick", action="store_true", help="few moves, and no `interact`")
    quick = options.parse_args().quick
    mpl.use("agg")
    print(machine())
    print(f"{'milliseconds':44} moves median    95 %")
    everything = []
    for title, make in PANELS.items():
        panel = make()
        mine = {name: ours(panel, name, FEW_MOVES if quick else MOVES) for name in panel.controls}
        for name, samples in mine.items():
            label = f"{title}: {panel.controls[name].name}"
            print(f"  {label:42} {len(samples):5} {median(samples):6.1f} {late(samples):7.1f}")
        together = list(itertools.chain(*mine.values()))
        everything += together
        print(f"{title:44} {len(together):5} {median(together):6.1f} {late(together):7.1f}")
        if quick:
            continue
        with contextlib.redirect_stdout(io.StringIO()):
            theirs = common(panel)
        ratios = f"{median(theirs) / median(together):.0f} x, {late(theirs) / late(together):.0f} x"
        name = f"{title}, interact and new figure"
        print(f"{name:44} {len(theirs):5} {median(theirs):6.1f} {late(theirs):7.1f}   {ratios}")
    print(f"{'all':44} {len(everything):5} {median(everything):6.1f} {late(everything):7.1f}")
    verdict = "within" if late(everything) <= BUDGET else "over"
    print(f"95 % of moves: {verdict} the budget of {BUDGET:g} ms")


if __name__ == "__main__":
    main()
