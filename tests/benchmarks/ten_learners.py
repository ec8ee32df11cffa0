"""A class of ten on one machine: what it weighs, how long it waits, and who can read what.

    CLASS/bin/python tests/benchmarks/ten_learners.py

Run it as root with the Python of an environment that has `aqualib[class]` and that every account
can read (not under /root), with configurable-http-proxy on the path. It makes eleven accounts
for the run and removes them. Ten learners log in at once, each runs one lesson to the end
through the hub, as a browser would, and compares what is printed with the shipped lesson. Then
one tries to get at another's work, and all wait to be ended for being idle. Whatever should not
be is listed at the end, and then the exit code is 1.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import sys
import tempfile
import time
import uuid
from dataclasses import dataclass, field
from pathlib import Path

import aiohttp
import psutil
from class_machine import Account, accounts, hub
from yarl import URL

from aqualib.lesson.serving.shipped import shipped_lessons

LEARNERS = 10
IDLE = 90
LONGEST = 600.0
MEGABYTE = 1e6
FIRST_LESSON = "02-the-nitrogen-cycle.ipynb"
NOTE = "My own note, which no update may take away."
REFUSED = {401, 403, 404}
TOO_MUCH = "block = bytearray(2 * 2**30)\nprint(len(block))"

# Run in one learner's kernel; what it can reach of another's is printed as a fault.
ATTEMPTS = """
import json, os, urllib.error, urllib.request
from pathlib import Path
home, pid, port, state, lesson = {given!r}
def fetch():
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{{port}}/user/{name}/api/contents") as got:
            return got.read()
    except urllib.error.HTTPError as problem:
        raise PermissionError(problem.code) from None
tries = {{
    "list another's home": lambda: os.listdir(home),
    "read another's lesson": lambda: (Path(home) / "aquarium-lessons" / "{lesson}").read_text(),
    "write into another's home": lambda: (Path(home) / "aquarium-lessons" / "x").write_text("x"),
    "reach another's kernel": lambda: os.listdir(Path(home) / ".local/share/jupyter/runtime"),
    "read another's secrets from the process": lambda: Path(f"/proc/{{pid}}/environ").read_bytes(),
    "end another's server": lambda: os.kill(pid, 15),
    "ask another's server past the hub": fetch,
    "read the hub's secrets": lambda: os.listdir(state),
    "change the shipped lesson": lambda: open(lesson, "a"),
}}
done = {{}}
for what, attempt in tries.items():
    try:
        attempt()
        done[what] = "done"
    except PermissionError as problem:
        done[what] = f"refused ({{problem.args[0]}})"
print(json.dumps(done))
"""


@dataclass
class Learner:
    """One learner with a browser's cookies; what took how long is noted."""

    account: Account
    lesson: str
    address: str
    web: aiohttp.ClientSession
    seconds: dict[str, float] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    cells: int = 0
    alike: int = 0

    @property
    def home(self) -> str:
        return f"{self.address}/user/{self.account.name}"

    def mark(self, path: str) -> str:
        """Return the mark against forged requests that belongs to a part of the site."""
        return self.web.cookie_jar.filter_cookies(URL(path))["_xsrf"].value

    async def log_in(self, password: str | None = None) -> bool:
        """Log in through the form; return whether the hub let us in."""
        form = f"{self.address}/hub/login"
        async with self.web.get(form):
            pass
        fields = {
            "username": self.account.name,
            "password": self.account.password if password is None else password,
            "_xsrf": self.mark(form),
        }
        async with self.web.post(form, data=fields, allow_redirects=False) as answer:
            return answer.status == 302

    async def open_server(self) -> None:
        """Ask for a server and wait until its first page is there."""
        async with self.web.get(f"{self.address}/hub/spawn"):
            pass
        end = time.monotonic() + LONGEST
        while time.monotonic() < end:
            async with self.web.get(f"{self.home}/doc/tree/{self.lesson}") as page:
                if page.status == 200 and page.url.path.startswith(URL(self.home).path):
                    return
            await asyncio.sleep(0.5)
        raise TimeoutError(self.account.name)

    async def ask(self, method: str, path: str, content: object = None) -> dict:
        """Ask the learner's own server."""
        headers = {"X-XSRFToken": self.mark(f"{self.home}/")}
        asked = self.web.request(method, f"{self.home}/api/{path}", json=content, headers=headers)
        async with asked as answer:
            answer.raise_for_status()
            return await answer.json()

    async def kernel(self) -> Kernel:
        """Start a kernel for the lesson."""
        wanted = {"path": self.lesson, "name": self.lesson, "type": "notebook"}
        made = await self.ask("POST", "sessions", {**wanted, "kernel": {"name": "python3"}})
        address = f"{self.home}/api/kernels/{made['kernel']['id']}/channels"
        return Kernel(await self.web.ws_connect(address, max_msg_size=0))

    async def run_lesson(self) -> None:
        """Run every cell of the learner's own copy, and save a note in it."""
        page = await self.ask("GET", f"contents/{self.lesson}")
        kernel = await self.kernel()
        for cell in page["content"]["cells"]:
            if cell["cell_type"] != "code":
                continue
            printed, problem = await kernel.run(cell["source"])
            self.cells += 1
            self.alike += printed == printed_in(cell)
            if problem:
                self.faults.append(f"{self.lesson}: {problem}")
            if "picture" not in self.seconds and kernel.pictures:
                self.seconds["picture"] = time.monotonic()
        note = {"cell_type": "markdown", "id": "note", "metadata": {}, "source": NOTE}
        page["content"]["cells"].append(note)
        await self.ask("PUT", f"contents/{self.lesson}", page)
        await kernel.socket.close()

    async def whole_visit(self) -> None:
        """Log in, start, run the lesson; times count from the first request."""
        begin = time.monotonic()
        if not await self.log_in():
            self.faults.append("was not let in")
            return
        await self.open_server()
        self.seconds["page"] = time.monotonic()
        await self.run_lesson()
        self.seconds["end"] = time.monotonic()
        self.seconds = {what: moment - begin for what, moment in self.seconds.items()}


class Kernel:
    """A kernel at the other end of a websocket, asked one thing at a time."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.socket = socket
        self.session = uuid.uuid4().hex
        self.pictures = 0

    async def run(self, code: str) -> tuple[str, str]:
        """Run code; return what it printed, and the error in words or nothing."""
        asked = uuid.uuid4().hex
        header = {"msg_id": asked, "msg_type": "execute_request", "session": self.session}
        header |= {"username": "", "version": "5.3", "date": "2000-01-01T00:00:00Z"}
        content = {"code": code, "silent": False, "store_history": True, "allow_stdin": False}
        message = {"header": header, "parent_header": {}, "metadata": {}, "content": content}
        await self.socket.send_json({**message, "channel": "shell", "buffers": []})
        printed, problem, open_ends = "", "", {"idle", "reply"}
        while open_ends:
            got = await self.socket.receive(timeout=LONGEST)
            if got.type in {aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED}:
                return printed, "the kernel went away"
            if got.type != aiohttp.WSMsgType.TEXT:
                continue
            answer = json.loads(got.data)
            if answer["parent_header"].get("msg_id") != asked:
                continue
            kind, said = answer["msg_type"], answer["content"]
            if kind == "stream" and said["name"] == "stdout":
                printed += said["text"]
            elif kind == "error":
                problem = f"{said['ename']}: {said['evalue']}"
            elif kind in {"display_data", "execute_result"}:
                self.pictures += "image/png" in said["data"]
            elif kind == "status" and said["execution_state"] == "idle":
                open_ends.discard("idle")
            elif kind == "execute_reply":
                open_ends.discard("reply")
        return printed, problem


def printed_in(cell: dict) -> str:
    """Return what a saved cell printed."""
    streams = [part for part in cell["outputs"] if part["output_type"] == "stream"]
    return "".join(part["text"] for part in streams if part["name"] == "stdout")


def weight(processes: list[psutil.Process]) -> float:
    """Return the memory of processes in MB, what they share counted once among them (PSS)."""
    return sum(process.memory_full_info().pss for process in processes) / MEGABYTE


async def tried(learner: Learner, other: Learner, state: Path) -> dict[str, str]:
    """Let one learner try to get at another's work, in the kernel and through the hub."""
    server = other.account.server()
    (port,) = {c.laddr.port for c in server.net_connections("tcp") if c.status == "LISTEN"}
    shipped = str(shipped_lessons()[other.lesson])
    given = (str(other.account.home), server.pid, port, str(state), shipped)
    kernel = await learner.kernel()
    code = ATTEMPTS.format(given=given, name=other.account.name, lesson=other.lesson)
    printed, problem = await kernel.run(code)
    outcome = json.loads(printed) if printed else {"attempts": problem}
    for what, path in {
        "another's lesson through the hub": f"/user/{other.account.name}/api/contents/",
        "another's home by a way up": f"/user/{learner.account.name}/api/contents/..%2F..%2F"
        f"{other.account.name}%2Faquarium-lessons%2F",
    }.items():
        address = URL(f"{other.address}{path}{other.lesson}", encoded=True)
        async with learner.web.get(address) as answer:
            refused = answer.status in REFUSED
            outcome[what] = f"refused ({answer.status})" if refused else "done"
    printed, problem = await kernel.run(TOO_MUCH)
    alive, _ = await kernel.run("print(1 + 1)")
    refused = "MemoryError" in problem and alive == "2\n"
    outcome["take 2 GiB"] = "refused (MemoryError, and the kernel lives on)" if refused else "done"
    await kernel.socket.close()
    return outcome


async def all_ended(learners: list[Learner]) -> float:
    """Wait until no learner has a process; return the seconds."""
    begin = time.monotonic()
    while any(learner.account.processes() for learner in learners):
        if time.monotonic() - begin > 4 * IDLE:
            return float("inf")
        await asyncio.sleep(1)
    return time.monotonic() - begin


async def visit(machine, people, outsider) -> list[str]:
    """Let the class come, work and go; print what was measured, return what should not be."""
    lessons = list(shipped_lessons())
    lessons.remove(FIRST_LESSON)
    lessons = [FIRST_LESSON, *lessons]
    webs = [
        aiohttp.ClientSession(cookie_jar=aiohttp.CookieJar(unsafe=True))
        for _ in range(len(people) + 2)
    ]
    learners = [
        Learner(account, lessons[place % len(lessons)], machine.address, webs[place])
        for place, account in enumerate(people)
    ]
    faults = []
    stranger = Learner(people[0], FIRST_LESSON, machine.address, webs[-1])
    if await stranger.log_in("not the password"):
        faults.append("a wrong password is let in")
    if await Learner(outsider, FIRST_LESSON, machine.address, webs[-2]).log_in():
        faults.append("an account outside the group is let in")
    alone = weight(machine.tree())
    await asyncio.gather(*(learner.whole_visit() for learner in learners))
    print_times(learners)
    faults += [fault for learner in learners for fault in learner.faults]
    faults += [
        f"{learner.lesson}: {learner.cells - learner.alike} of {learner.cells} cells differ"
        for learner in learners
        if learner.alike != learner.cells or not learner.cells
    ]
    print_memory(machine, learners, alone)
    faults += [
        f"{learner.account.name}: the home is open to others"
        for learner in learners
        if learner.account.home.stat().st_mode & 0o077
    ]
    outcome = await tried(learners[1], learners[0], machine.folder / "hub")
    for what, how in outcome.items():
        print(f"  {what:42} {how}")
    faults += [f"{what}: {how}" for what, how in outcome.items() if not how.startswith("refused")]
    ended = await all_ended(learners)
    print(f"idle after {IDLE} s: all ended {ended:.0f} s after the last one stopped working")
    faults += ["idle servers were not ended"] if ended == float("inf") else []
    faults += await came_again(learners[0])
    for web in webs:
        await web.close()
    return faults


async def came_again(learner: Learner) -> list[str]:
    """Let one learner come a second time; return what is wrong with the own copy."""
    begin = time.monotonic()
    await learner.open_server()
    print(f"a second start, alone: {time.monotonic() - begin:.1f} s to the page")
    page = await learner.ask("GET", f"contents/{learner.lesson}")
    kept = page["content"]["cells"][-1]["source"] == NOTE
    return [] if kept else ["a learner's note was written over"]


def print_times(learners: list[Learner]) -> None:
    """Print how long each learner waited and worked."""
    print(f"{'lesson':36} {'page':>7} {'picture':>8} {'end':>7}  cells, printed alike")
    for learner in learners:
        waits = [learner.seconds.get(what, float("nan")) for what in ("page", "picture", "end")]
        shown = "{:6.1f}s {:7.1f}s {:6.1f}s".format(*waits)
        print(f"{learner.lesson:36} {shown}  {learner.cells}, {learner.alike}")


def print_memory(machine, learners: list[Learner], alone: float) -> None:
    """Print what the hub weighs, and each learner's server and kernel."""
    rows = []
    for learner in learners:
        server = learner.account.server()
        kernels = [p for p in learner.account.processes() if p.pid != server.pid]
        threads = sum(p.num_threads() for p in (server, *kernels))
        rows.append((weight([server]), weight(kernels), threads))
    servers, kernels, threads = zip(*rows, strict=True)
    print(
        f"hub, proxy, culler: {alone:.0f} MB before the class, {weight(machine.tree()):.0f} with it"
    )
    for what, numbers in (("server", servers), ("kernel", kernels)):
        print(f"{what} of a learner: {min(numbers):.0f} to {max(numbers):.0f} MB")
    print(f"all learners: {sum(servers) + sum(kernels):.0f} MB; threads {max(threads)}")


def main() -> int:
    """Print the figures; return 1 if anything is not as it should be."""
    if os.geteuid():
        raise SystemExit("run it as root: it makes accounts, and the hub starts servers as them")
    parser = argparse.ArgumentParser(description="A class on one machine, measured.")
    parser.add_argument("--learners", type=int, default=LEARNERS, help="two or more")
    learners = parser.parse_args().learners
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    print(f"{os.cpu_count()} cores, load before {load} · Python {sys.version.split()[0]}")
    with (
        tempfile.TemporaryDirectory() as folder,
        accounts(learners) as (people, outsider),
        hub(Path(folder), IDLE) as machine,
    ):
        try:
            faults = asyncio.run(visit(machine, people, outsider))
        except BaseException:
            print(machine.said()[-6000:], file=sys.stderr)
            raise
    for fault in faults:
        print(f"NOT AS IT SHOULD BE: {fault}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
