"""Ends griplife at a moment by chance while it works, and looks at what it leaves: whole files, or none.

By hand: `python tests/fuzz/faults.py COMMAND --times 100 --seed 1`; COMMAND is one of `COMMANDS`.
"""

import argparse
import json
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree
from pathlib import Path
from random import Random

ROOT = Path(__file__).parent.parent.parent
COMMANDS = {
    "assess": ("assess", "compare_en1993.toml", "--json", "out.json", "--note", "out.html", "-q"),
    "count": ("count", "bracket.csv", "--channel", "Vertical", "--csv", "out.csv"),
    "compare": ("compare", "compare_en1993.toml", "--write", "ways", "--json", "out.json", "-q"),
    "look": ("look", "bracket.csv", "--plot", "out.svg", "--json", "out.json"),
    "schedule": ("schedule", "jobs", "--csv", "out.csv", "--json", "out.json", "--processes", "1", "-q"),
}
# What is never a result: a file that was being written, and what a schedule keeps for its next run.
_BESIDE = re.compile(r"\.part$|\.state$")


def made_folder(folder: Path) -> Path:
    """A folder with the jobs and records of the commands."""
    (folder / "jobs").mkdir(parents=True)
    for name in ("compare_en1993.toml", "compare_en1993.csv", "bracket.toml", "bracket.csv"):
        shutil.copy(ROOT / "tests" / "jobs" / name, folder)
        shutil.copy(ROOT / "tests" / "jobs" / name, folder / "jobs")
    return folder


def started(folder: Path, *arguments: str, file_size: int | None = None) -> subprocess.Popen:
    """The command at work in a folder, as the first of a group of processes."""
    fonts = str(Path(tempfile.gettempdir()) / "griplife-matplotlib")
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "MPLCONFIGDIR": fonts}
    # A date in what is written would differ between two runs.
    environment["SOURCE_DATE_EPOCH"] = "1700000000"

    def limited() -> None:
        if file_size is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (file_size, file_size))
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    command = [sys.executable, "-c", "from cli.main import main; main()", *arguments]
    return subprocess.Popen(
        command, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
        start_new_session=True, preexec_fn=limited,
    )  # fmt: skip


def ran(folder: Path, *arguments: str) -> int:
    """Exit code of the command, waited for."""
    process = started(folder, *arguments)
    process.communicate()
    return process.returncode


def results(folder: Path) -> dict[str, bytes]:
    """Every file that a command has given a name, by its path."""
    found = {}
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        mine = path.name.startswith("out.") or inside.parts[0] == "ways"
        if path.is_file() and mine and not any(_BESIDE.search(part) for part in inside.parts):
            found[str(inside)] = path.read_bytes()
    return found


def require_whole(name: str, content: bytes) -> None:
    """Raise an error where a result is not whole."""
    text = content.decode("utf-8")
    if name.endswith(".json"):
        json.loads(text)
    elif name.endswith(".html"):
        assert text.rstrip().endswith("</html>"), name
    elif name.endswith(".svg"):
        xml.etree.ElementTree.fromstring(text)
    else:
        assert text.endswith("\n"), name


def killed(folder: Path, arguments: tuple[str, ...], after: float, number: int = signal.SIGKILL) -> dict[str, bytes]:
    """What is there after the command was ended; every file is whole.

    Parameters
    ----------
    after : float
        Seconds from its start; below 0 from the moment at which its first file is being written.
    """
    process = started(folder, *arguments)
    if after < 0.0:
        _wait_for_writing(folder, process)
    time.sleep(abs(after))
    # The group is that of the process which was started here; its number is its own as long as that is not waited for.
    if process.returncode is None:
        os.killpg(process.pid, number)
    process.communicate()
    found = results(folder)
    for name, content in found.items():
        require_whole(name, content)
    return found


def _wait_for_writing(folder: Path, process: subprocess.Popen) -> None:
    places = (folder, folder / "ways")
    while process.poll() is None:
        names = [entry.name for place in places if place.is_dir() for entry in os.scandir(place)]
        if any(name.startswith((".out.", "out.")) or name.endswith(".part") for name in names):
            return
        time.sleep(0.0005)


def attacked(command: str, times: int, seed: int) -> dict[str, int]:
    """End a command so many times by chance; how often it left all of its files, some of them, or none."""
    chance, told = Random(seed), {"all": 0, "some": 0, "none": 0}
    with tempfile.TemporaryDirectory() as scratch:
        folder = made_folder(Path(scratch) / "work")
        begun = time.monotonic()
        assert ran(folder, *COMMANDS[command]) in (0, 1)
        span = time.monotonic() - begun
        whole = results(folder)
        assert whole
        for number in range(times):
            place = made_folder(Path(scratch) / f"{number}")
            # Most of the moments lie where files are written.
            after = chance.uniform(0.0, 1.15 * span) if chance.random() < 0.2 else -chance.uniform(0.0, 0.02)
            how = chance.choice((signal.SIGKILL, signal.SIGTERM, signal.SIGINT))
            found = killed(place, COMMANDS[command], after, how)
            for name, content in found.items():
                assert whole[name] == content, f"{name} differs from that of a whole run"
            print(number, len(found), "of", len(whole), flush=True)
            told["all" if found == whole else "some" if found else "none"] += 1
            if number % 5 == 0:
                assert ran(place, *COMMANDS[command], "--force") in (0, 1)
                assert results(place) == whole, "a second run gives other files"
            shutil.rmtree(place)
    return told


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("command", choices=COMMANDS)
    asked.add_argument("--times", type=int, default=100)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    print(given.command, attacked(given.command, given.times, given.seed))


if __name__ == "__main__":
    main()
