"""JupyterHub for one class on one machine. Read it, change what stands in capitals, start it.

Learners log in with accounts of this machine. The hub runs as root, for it starts each learner's
server as that learner; nothing else here does. `README.md` beside the original of this file says
what is enforced and what is not, how many learners fit, and how to make accounts.
"""

import sys
from pathlib import Path

c = get_config()  # type: ignore[name-defined]  # noqa: F821 - JupyterHub gives it to this file

ADDRESS = "http://127.0.0.1:8000"  # this computer only: something with TLS belongs before it
GROUP = "aquarium-class"  # of accounts; who is in it may log in, and nobody else
MOST_LEARNERS = 12  # at one time
MEMORY = "1G"  # for each process of a learner: a kernel that asks for more gets an error
PROCESSES = 256  # and threads of one learner together; a server and a kernel have some 22
IDLE = 30 * 60  # seconds without a sign of life, after which a learner's server is ended
LOOK_EVERY = 5 * 60
STATE = Path(__file__).resolve().parent / "hub"  # secrets and sessions; root's alone

STATE.mkdir(mode=0o700, exist_ok=True)
STATE.chmod(0o700)
c.JupyterHub.bind_url = ADDRESS
c.JupyterHub.db_url = f"sqlite:///{STATE / 'jupyterhub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(STATE / "cookie_secret")
c.ConfigurableHTTPProxy.pid_file = str(STATE / "proxy.pid")

c.JupyterHub.authenticator_class = "pam"
c.LocalAuthenticator.allowed_groups = {GROUP}
c.PAMAuthenticator.open_sessions = False

# The start brings the lessons, closes the home and sets the limits, then becomes the server.
c.JupyterHub.spawner_class = "jupyterhub.spawner.LocalProcessSpawner"
c.Spawner.cmd = [sys.executable, "-m", "aqualib.lesson.serving.class_room.start_learner"]
c.Spawner.notebook_dir = "~/aquarium-lessons"
c.Spawner.default_url = "/doc/tree/00-start-here.ipynb"
c.Spawner.mem_limit = MEMORY
c.Spawner.disable_user_config = True
c.Spawner.environment = {
    "PATH": f"{Path(sys.executable).parent}:/usr/local/bin:/usr/bin:/bin",
    "AQUALIB_PROCESSES": str(PROCESSES),
    # One thread each: ten learners' sums on a few cores only wait for one another otherwise.
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",
}
# When a whole class begins at once, the last one waits for all.
c.Spawner.start_timeout = 180
c.Spawner.http_timeout = 180

c.JupyterHub.active_server_limit = MOST_LEARNERS
c.JupyterHub.shutdown_on_logout = True
c.JupyterHub.services = [
    {
        "name": "idle-culler",
        "command": [
            *(sys.executable, "-m", "jupyterhub_idle_culler"),
            *(f"--timeout={IDLE}", f"--cull-every={LOOK_EVERY}"),
        ],
    }
]
c.JupyterHub.load_roles = [
    {
        "name": "idle-culler",
        "services": ["idle-culler"],
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
    }
]
