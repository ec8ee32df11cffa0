"""A class: the sample configuration, and what happens before a learner's server starts.

The whole of it, with accounts, logins and ten kernels, is `tests/benchmarks/ten_learners.py`.
"""

from __future__ import annotations

import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from traitlets.config import PyFileConfigLoader

from aqualib.lesson.own_folder import HIDDEN
from aqualib.lesson.serving.class_room.configuration import SAMPLE, main, write_sample
from aqualib.lesson.serving.shipped import FIRST, shipped_lessons
from aqualib.validity import ValidityError

pytest.importorskip("resource", reason="JupyterHub's learners need Unix")

from aqualib.lesson.serving.class_room import start_learner


@pytest.fixture
def config(tmp_path):
    return PyFileConfigLoader(str(write_sample(tmp_path))).load_config()


def test_the_sample_is_read_as_jupyterhub_reads_it(config, tmp_path):
    assert config.JupyterHub.authenticator_class == "pam"
    assert config.LocalAuthenticator.allowed_groups
    command = config.Spawner.cmd
    assert command[:2] == [sys.executable, "-m"]
    assert command[2] == start_learner.__name__
    assert config.Spawner.notebook_dir == f"~/{start_learner.FOLDER}"
    assert config.Spawner.default_url.endswith(f"/{FIRST}")
    state = tmp_path / "hub"
    assert stat.S_IMODE(state.stat().st_mode) == 0o700
    assert str(state) in config.JupyterHub.db_url
    assert str(state) in config.JupyterHub.cookie_secret_file


def test_nobody_gets_in_unasked(config):
    assert re.match(r"http://127\.0\.0\.1:\d+$", config.JupyterHub.bind_url)
    for open_door in ("allow_all", "any_allow_config", "admin_users", "allow_existing_users"):
        assert open_door not in config.Authenticator
    assert config.Spawner.disable_user_config is True


def test_idle_servers_are_ended_by_a_service_that_may_do_no_more(config):
    (service,) = config.JupyterHub.services
    (role,) = config.JupyterHub.load_roles
    assert service["command"][2] == "jupyterhub_idle_culler"
    assert role["services"] == [service["name"]]
    assert set(role["scopes"]) == {
        "list:users",
        "read:users:activity",
        "read:servers",
        "delete:servers",
    }


def test_no_secret_stands_in_the_sample():
    text = SAMPLE.read_text(encoding="utf-8")
    assert not re.search(
        r"(token|secret|password|passwd)\w*\s*=\s*[\"'][^\"'{]", text, re.IGNORECASE
    )
    assert not re.search(r"[0-9a-f]{32}|[A-Za-z0-9+/]{40}", text)


def test_a_configuration_that_is_there_is_not_written_over(tmp_path, capsys):
    main([str(tmp_path)])
    assert f"jupyterhub --config {tmp_path / SAMPLE.name}" in capsys.readouterr().out
    (tmp_path / SAMPLE.name).write_text("mine")
    with pytest.raises(ValidityError, match="has one already"):
        write_sample(tmp_path)
    assert (tmp_path / SAMPLE.name).read_text() == "mine"


# As JupyterHub runs it, with a server in its place that says what it was given.
STANDS_IN = """
import json, os, resource, sys
from pathlib import Path
limits = {name: resource.getrlimit(getattr(resource, name)) for name in
          ("RLIMIT_DATA", "RLIMIT_NPROC", "RLIMIT_FSIZE", "RLIMIT_CORE")}
mask = os.umask(0)
print(json.dumps({"given": sys.argv[1:], "limits": limits, "mask": mask, "nice": os.nice(0)}))
"""


@pytest.fixture
def start(tmp_path):
    """Start a learner's server in a home of the test's; gives what the server was given."""
    import json

    home = tmp_path / "home"
    home.mkdir(mode=0o755)
    stand_in = tmp_path / "stand_in" / "jupyterhub"
    stand_in.mkdir(parents=True)
    (stand_in / "__init__.py").write_text("")
    (stand_in / "singleuser.py").write_text(STANDS_IN)
    top = Path(start_learner.__file__).parents[4]

    def started(memory="1073741824", *options):
        done = subprocess.run(
            [sys.executable, "-m", start_learner.__name__, *options],
            capture_output=True,
            text=True,
            check=True,
            env={
                **os.environ,
                "HOME": str(home),
                "MEM_LIMIT": memory,
                "AQUALIB_PROCESSES": "200" if memory else "",
                "PYTHONPATH": f"{stand_in.parent}{os.pathsep}{top}",
            },
        )
        return home, json.loads(done.stdout), done.stderr

    return started


def test_a_learner_starts_with_lessons_limits_and_a_closed_home(start):
    home, server, _ = start("1073741824", "--given=by-the-hub")
    folder = home / start_learner.FOLDER
    assert {path.name for path in folder.glob("*.ipynb")} == set(shipped_lessons())
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert server["mask"] == 0o077
    assert server["limits"]["RLIMIT_DATA"] == [2**30, 2**30]
    assert server["limits"]["RLIMIT_FSIZE"][1] == start_learner.LARGEST_FILE
    assert server["limits"]["RLIMIT_NPROC"] == [200, 200]
    assert server["limits"]["RLIMIT_CORE"] == [0, 0]
    assert server["nice"] >= start_learner.NICE
    assert server["given"][0] == "--given=by-the-hub"
    # Over TCP, other accounts of the machine could listen to a kernel.
    assert "--KernelManager.transport=ipc" in server["given"]
    settings = folder / HIDDEN / "settings"
    assert f"--LabApp.app_settings_dir={settings}" in server["given"]
    assert (settings / "overrides.json").is_file()


def test_a_second_start_leaves_a_learners_work(start):
    home, _, _ = start()
    mine = home / start_learner.FOLDER / FIRST
    mine.write_text("my own work")
    start()
    assert mine.read_text() == "my own work"


def test_without_a_limit_none_is_set(start):
    _, server, _ = start("")
    assert server["limits"]["RLIMIT_DATA"][0] != 2**30
    assert server["limits"]["RLIMIT_NPROC"][0] != 200


def test_lessons_that_cannot_be_brought_do_not_keep_a_learner_out(start):
    home, _, _ = start()
    folder = home / start_learner.FOLDER
    record = folder / HIDDEN / "settings" / "overrides.json"
    record.unlink()
    record.mkdir()  # no file can be written there now
    _, server, said = start()
    assert server["given"]
    assert "could not be brought" in said
