"""`python -m aqualib class FOLDER`: a sample configuration for a class, to read and to change."""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Sequence
from pathlib import Path

from aqualib.validity import ValidityError, quoted

SAMPLE = Path(__file__).with_name("jupyterhub_config.py")
PROGRAMS = ("jupyterhub", "configurable-http-proxy")


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the sample into a folder, and say what comes next."""
    parser = argparse.ArgumentParser(
        prog="python -m aqualib class",
        description="Write a sample JupyterHub configuration for a class on this machine.",
        epilog=f"How many learners fit, and what is enforced: {SAMPLE.with_name('README.md')}",
    )
    parser.add_argument("folder", type=Path, help="root's own, such as /opt/aquarium-class")
    written = write_sample(parser.parse_args(arguments).folder)
    print(f"Written: {written}. Read it, change what stands in capitals, then as root:")
    print(f"  jupyterhub --config {written}")
    for program in PROGRAMS:
        if shutil.which(program) is None:
            print(f"Not found on this machine: {program}. See {SAMPLE.with_name('README.md')}")


def write_sample(folder: Path) -> Path:
    """Write the sample into a folder; one that is there already may have been changed: refused."""
    folder.mkdir(parents=True, exist_ok=True)
    to = folder / SAMPLE.name
    try:
        with to.open("x", encoding="utf-8") as file:
            file.write(SAMPLE.read_text(encoding="utf-8"))
    except FileExistsError:
        raise ValidityError(
            "folder", quoted(str(folder)), f"one without {SAMPLE.name}", "", "has one already"
        ) from None
    return to


if __name__ == "__main__":
    main()
