"""A study gives what bands give, here or on a cluster, and counts each chunk once."""

from __future__ import annotations

import os
import signal
import warnings
from collections import Counter

import numpy as np
import pytest

from aqualib.tank.maturation import forecast as bands_module
from aqualib.tank.maturation.forecast import bands, one_chunk
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.maturation.studies import study, text_bar
from aqualib.units import Q
from aqualib.validity import ValidityError

SCENARIO = Scenario(seed=1e-2, days=Q(20, "day"))
SETS = 90
calls: Counter[int] = Counter()


@pytest.fixture(autouse=True)
def small_chunks(monkeypatch):
    monkeypatch.setattr(bands_module, "CHUNK", 20)
    calls.clear()


def same(a, b):
    assert np.array_equal(a.ready_days, b.ready_days)
    for name in ("ammonia", "nitrite", "nitrate"):
        assert np.array_equal(getattr(a, name), getattr(b, name))


def fails_at_first(scenario, number, size, seed):
    """Chunks 1 and 3 fail once, as on a worker that went away."""
    calls[number] += 1
    if number in {1, 3} and calls[number] == 1:
        message = "the worker went away"
        raise OSError(message)
    return one_chunk(scenario, number, size, seed)


def always_fails(_scenario, number, _size, _seed):
    calls[number] += 1
    message = "no good"
    raise OSError(message)


def test_here():
    done = []
    result = study(SCENARIO, SETS, seed=7, progress=lambda d, n: done.append((d, n)))
    same(result, bands(SCENARIO, SETS, seed=7))
    assert done == [(n, 5) for n in range(1, 6)]


def test_failed_chunks_are_tried_again():
    result = study(SCENARIO, SETS, seed=7, work=fails_at_first)
    same(result, bands(SCENARIO, SETS, seed=7))
    assert calls == {0: 1, 1: 2, 2: 1, 3: 2, 4: 1}


def test_gives_up_in_the_end():
    with pytest.raises(OSError, match="no good"):
        study(SCENARIO, SETS, work=always_fails, tries=2)
    assert calls == {0: 2}


@pytest.fixture(scope="module")
def client():
    """A cluster of threads of this process, so that the test sees what the workers do."""
    import distributed

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with (
            distributed.LocalCluster(
                n_workers=2, threads_per_worker=1, processes=False, dashboard_address=":0"
            ) as cluster,
            distributed.Client(cluster) as client,
        ):
            yield client


def test_on_a_cluster(client):
    done = []
    result = study(
        SCENARIO, SETS, seed=7, cluster=client, progress=lambda d, n: done.append((d, n))
    )
    same(result, bands(SCENARIO, SETS, seed=7))
    assert done == [(n, 5) for n in range(1, 6)]


def test_failed_chunks_are_sent_again(client):
    result = study(SCENARIO, SETS, seed=7, cluster=client, work=fails_at_first)
    same(result, bands(SCENARIO, SETS, seed=7))
    assert calls == {0: 1, 1: 2, 2: 1, 3: 2, 4: 1}


def test_cluster_gives_up_in_the_end(client):
    with pytest.raises(OSError, match="no good"):
        study(SCENARIO, SETS, cluster=client, work=always_fails, tries=2)
    assert max(calls.values()) == 2


@pytest.mark.filterwarnings("ignore")
def test_a_worker_that_dies_loses_nothing():
    """Two processes; one is killed when the first chunk is done."""
    import distributed

    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=":0"
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        first_two, killed = set(client.run(os.getpid).values()), []

        def kill_one(done, _all):
            if done == 1:
                killed.append(min(first_two))
                os.kill(*killed, signal.SIGKILL)

        address = cluster.scheduler_address
        result = study(SCENARIO, 400, seed=7, cluster=address, progress=kill_one)
        assert first_two - set(client.run(os.getpid).values()) == set(killed) != set()
    same(result, bands(SCENARIO, 400, seed=7))


@pytest.mark.parametrize("cluster", [5, "somewhere", "", True, np.array(["here", "here"])])
def test_bad_cluster(cluster):
    import distributed  # noqa: F401

    with pytest.raises(ValidityError, match="cluster"):
        study(SCENARIO, SETS, cluster=cluster)


@pytest.mark.filterwarnings("ignore")
def test_cluster_that_does_not_answer(monkeypatch):
    import distributed  # noqa: F401

    monkeypatch.setattr("aqualib.tank.maturation.studies.WAIT", 1)
    with pytest.raises(ValidityError, match=r"cluster.*did not answer"):
        study(SCENARIO, SETS, cluster="tcp://127.0.0.1:9")


@pytest.mark.parametrize(
    "given", [{"sets": 0}, {"seed": -1}, {"tries": 0}, {"tries": "x"}, {"sets": np.array([5, 6])},
     {"seed": [1]}, {"tries": [1]}, {"progress": 5}, {"progress": np.array([1])}, {"work": None}],
    ids=str,
)  # fmt: skip
def test_bad_numbers(given):
    with pytest.raises(ValidityError, match=next(iter(given))):
        study(SCENARIO, **{"sets": SETS, **given})


def test_not_a_scenario():
    with pytest.raises(ValidityError, match="scenario"):
        study({}, SETS)


def test_bar(capsys):
    text_bar(1, 4)
    text_bar(4, 4)
    shown = capsys.readouterr().err
    assert "1 of 4 chunks" in shown
    assert shown.endswith("4 of 4 chunks\n")
