"""A schedule that is killed, and one on a Dask cluster of which a worker is killed: the table is the same."""

import os
import random
import shutil
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

JOBS = Path(__file__).parent.parent / "jobs"
GRIPLIFE = (sys.executable, "-c", "from cli.main import main; main()")
SIZES = ("M12", "M16", "M20", "M22", "M24", "M27", "M99", "M30")
PATIENCE = 90.0


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """A folder with a job and a table that varies it, and the table that an undisturbed run makes of it."""
    folder = tmp_path_factory.mktemp("schedule")
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, folder / name)
    rows = [f"{size} class {surface},{size},{surface}" for size in SIZES for surface in "BD"]
    (folder / "rows.csv").write_text("\n".join(["name,joint.bolts.size,joint.bolts.surface", *rows]), "utf-8")
    run = subprocess.run(command("plain.csv"), cwd=folder, capture_output=True, text=True, timeout=PATIENCE)
    assert run.returncode == 1, run.stderr
    return folder, (folder / "plain.csv").read_bytes()


def command(output, *options):
    return [*GRIPLIFE, "schedule", "rows.csv", "--base", "bracket.toml", "--csv", output, "-q", *options]


def finished(state):
    return len(list(state.glob("*.json")))


@contextmanager
def started(arguments, folder, log):
    """A process of our own that is ended with the block, whatever happens in it."""
    with (folder / log).open("wb") as out:
        process = subprocess.Popen(arguments, cwd=folder, stdout=out, stderr=out)
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def until(condition, process, what):
    """Wait until the condition holds; whether it did before the process ended."""
    end = time.monotonic() + PATIENCE
    while not condition():
        if process.poll() is not None:
            return False
        assert time.monotonic() < end, what
        time.sleep(0.01)
    return True


def test_a_run_that_is_killed_again_and_again_comes_to_the_same_table(plain):
    folder, expected = plain
    state, chance, killed = folder / "killed.csv.state", random.Random(7), 0
    while killed < 3:
        goal = finished(state) + chance.randint(1, 4)
        with started(command("killed.csv"), folder, "killed.log") as process:
            reached = until(lambda goal=goal: finished(state) >= goal, process, "no job was finished")
            if not reached:
                break
            time.sleep(chance.random() * 0.3)
            process.send_signal(signal.SIGKILL)
            process.wait()
            killed += 1
    assert killed, "the run was over before it could be killed"
    done = finished(state)
    if not (folder / "killed.csv").exists():
        run = subprocess.run(command("killed.csv"), cwd=folder, capture_output=True, text=True, timeout=PATIENCE)
        assert run.returncode == 1, run.stderr
    assert done > 0
    assert (folder / "killed.csv").read_bytes() == expected


def test_no_process_is_left_behind_by_a_run_that_is_killed(plain):
    folder, _ = plain
    with started(command("left.csv"), folder, "left.log") as process:
        assert until(lambda: finished(folder / "left.csv.state") >= 1, process, "no job was finished")
        workers = children_of(process.pid)
        assert workers
        process.kill()
        process.wait()
    end = time.monotonic() + PATIENCE
    while any(os.path.exists(f"/proc/{pid}") and not zombie(pid) for pid in workers):
        assert time.monotonic() < end, "a worker goes on without its schedule"
        time.sleep(0.05)


def children_of(pid):
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()
            except OSError:
                continue
            if int(fields[1]) == pid:
                found.append(int(entry.name))
    return found


def zombie(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[0] == "Z"
    except OSError:
        return True


@contextmanager
def cluster(folder):
    """A scheduler and two workers on this computer; gives the address and the workers."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"tcp://127.0.0.1:{port}"
    dask = (sys.executable, "-m", "dask")
    scheduler = (*dask, "scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard")
    worker = (*dask, "worker", address, "--host", "127.0.0.1", "--nthreads", "1", "--no-nanny", "--no-dashboard")
    with (
        started(scheduler, folder, "scheduler.log") as process,
        started((*worker, "--local-directory", str(folder / "one")), folder, "one.log") as one,
        started((*worker, "--local-directory", str(folder / "two")), folder, "two.log") as two,
    ):
        for log in ("one.log", "two.log"):
            joined = until(lambda log=log: b"Registered to" in (folder / log).read_bytes(), process, "no cluster")
            assert joined, (folder / log).read_text(encoding="utf-8")
        yield address, (one, two)


@pytest.mark.slow
def test_a_cluster_gives_the_same_table_and_loses_nothing_with_a_worker(plain):
    folder, expected = plain
    with cluster(folder) as (address, (one, two)):
        state = folder / "lost.csv.state"
        with started(command("lost.csv", "--scheduler", address), folder, "lost.log") as run:
            assert until(lambda: finished(state) >= 2, run, "no job was finished"), (folder / "lost.log").read_text()
            one.kill()
            one.wait()
            assert not (folder / "lost.csv").exists()
            assert run.wait(PATIENCE) == 1, (folder / "lost.log").read_text(encoding="utf-8")
        assert (folder / "lost.csv").read_bytes() == expected
        assert two.poll() is None
        shared = command("shared.csv", "--scheduler", address, "--shared-files")
        again = subprocess.run(shared, cwd=folder, capture_output=True, text=True, timeout=PATIENCE)
        assert again.returncode == 1, again.stderr
        assert (folder / "shared.csv").read_bytes() == expected
