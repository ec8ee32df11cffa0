"""Bands over very many sets: one chunk after another here, or spread over a cluster.

The result is the same wherever it is worked out: a chunk of sets depends on its number and the
seed alone. A chunk that fails is sent again; each is counted once, by its number.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from aqualib.arguments import one_number
from aqualib.tank.maturation.forecast import (
    Bands,
    Chunk,
    chunk_sizes,
    one_chunk,
    together,
    whole_seed,
)
from aqualib.tank.maturation.influence import optional
from aqualib.tank.maturation.scenario import Scenario, must_be_scenario
from aqualib.validity import Range, ValidityError, quoted

HERE = "here"
"""As `cluster`: all cores of this machine."""
WAIT = 30
"""Seconds to wait for a cluster to answer."""
BAR = 30

Progress = Callable[[int, int], None]
ChunkWork = Callable[[Scenario, int, int, int], Chunk]


def study(
    scenario: Scenario,
    sets: int = 100_000,
    seed: int = 0,
    cluster: Any = None,
    progress: Progress | None = None,
    tries: int = 3,
    work: ChunkWork = one_chunk,
) -> Bands:
    """Return what `bands` returns, over any number of sets, with a cluster's help if there is one.

    `cluster` is None (this process), "here" (all cores of this machine), the address of a
    dask.distributed scheduler such as "tcp://10.0.0.5:8786", or a client that is open already;
    all but None need the extra `studies`. `progress` is called with chunks done and in all;
    `text_bar` draws a bar. A chunk that fails is tried `tries` times in all. The results need
    about 3 kB of memory a set and 60 days.
    """
    must_be_scenario(scenario)
    chunks, start = chunk_sizes(sets), whole_seed(seed)
    most = int(one_number("tries", tries, Range(1, 100, whole=True)))
    tell = _nobody if progress is None else progress
    for name, function in (("progress", tell), ("work", work)):
        if not callable(function):
            raise ValidityError(name, quoted(function), "a function", "", "is no function")
    if cluster is None:
        return together(scenario, _one_by_one(scenario, chunks, start, tell, most, work))
    with client_of(cluster) as client:
        return together(scenario, _spread(client, scenario, chunks, start, tell, most, work))


def _nobody(_done: int, _all: int) -> None:
    """Tell nobody how far a study is."""


def text_bar(done: int, total: int, what: str = "chunks") -> None:
    """Draw how far a long piece of work is, as one line of text on the error stream."""
    full = BAR * done // total
    bar = "#" * full + "." * (BAR - full)
    sys.stderr.write(f"\r{bar} {done} of {total} {what}" + ("\n" if done == total else ""))
    sys.stderr.flush()


def _one_by_one(
    scenario: Scenario,
    chunks: list[tuple[int, int]],
    seed: int,
    tell: Progress,
    most: int,
    work: ChunkWork,
) -> list[Chunk]:
    done: list[Chunk] = []
    for number, size in chunks:
        for attempt in range(1, most + 1):
            try:
                done.append(work(scenario, number, size, seed))
                break
            except ValidityError:
                raise
            except Exception:
                if attempt == most:
                    raise
        tell(len(done), len(chunks))
    return done


def _spread(
    client: Any,
    scenario: Scenario,
    chunks: list[tuple[int, int]],
    seed: int,
    tell: Progress,
    most: int,
    work: ChunkWork,
) -> list[Chunk]:
    """Send chunks to the workers; gather each once, and send again what failed."""

    def send(number: int) -> Any:
        future = client.submit(work, scenario, number, sizes[number], seed, pure=False)
        numbers[future.key] = number
        return future

    sizes = dict(chunks)
    numbers: dict[str, int] = {}
    attempts = dict.fromkeys(sizes, 1)
    done: dict[int, Chunk] = {}
    waiting = optional("distributed").as_completed([send(number) for number in sizes])
    for future in waiting:
        number = numbers[future.key]
        if future.status == "finished":
            done.setdefault(number, future.result())
            tell(len(done), len(sizes))
        elif attempts[number] < most:
            attempts[number] += 1
            waiting.add(send(number))
        else:
            future.result()
    return list(done.values())


@contextmanager
def client_of(cluster: Any) -> Iterator[Any]:
    """Give a client for a cluster; close what was opened here, and nothing else."""
    distributed = optional("distributed")
    if isinstance(cluster, distributed.Client):
        yield cluster
    elif isinstance(cluster, str) and cluster == HERE:
        with (
            distributed.LocalCluster(threads_per_worker=1, dashboard_address=":0") as local,
            distributed.Client(local) as client,
        ):
            yield client
    else:
        with _connected(distributed, cluster) as client:
            yield client


def _connected(distributed: Any, address: Any) -> Any:
    valid = 'None, "here", an address such as "tcp://10.0.0.5:8786", or a client'
    if not isinstance(address, str) or "://" not in address:
        raise ValidityError("cluster", quoted(address), valid, "", "is no address")
    try:
        return distributed.Client(address, timeout=WAIT)
    except (OSError, ValueError) as error:
        why = f"did not answer ({error})"
        raise ValidityError("cluster", address, valid, "", why) from None
