"""Makes the pictures of the README from the demo job: run with the project installed, from the project's folder."""

import sys
from importlib.resources import as_file, files
from pathlib import Path

from cli.assess import assess_file
from cli.plots import history_plot, joint_sketch

folder = Path(sys.argv[1] if len(sys.argv) > 1 else ".pictures")
folder.mkdir(exist_ok=True)
with as_file(files("loadhistories.samples")) as samples:
    contract = assess_file(samples / "drive_bracket.toml")
joint = contract["joints"][0]
(folder / "bracket.svg").write_text(str(joint_sketch(joint, key="bracket")), encoding="utf-8")
load = next(load for load in contract["loads"] if load["name"] == "start and stop")
(folder / "start-and-stop.svg").write_text(str(history_plot(load, joint, key="record")), encoding="utf-8")
