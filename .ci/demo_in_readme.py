"""Puts what the demo prints into the README: run with the project installed, from the project's folder."""

import re
from importlib.resources import as_file, files
from pathlib import Path

from cli.assess import assess_file
from cli.screen import summary

with as_file(files("loadhistories.samples")) as samples:
    printed = summary(assess_file(samples / "drive_bracket.toml"), colour=False).rstrip()
readme = Path("README.md")
text = readme.read_text(encoding="utf-8")
block = f"<!-- demo -->\n```\n{printed}\n```\n<!-- /demo -->"
readme.write_text(re.sub(r"<!-- demo -->.*?<!-- /demo -->", lambda _: block, text, flags=re.DOTALL), encoding="utf-8")
