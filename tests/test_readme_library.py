"""The lines of Python in the README run as they stand and print what stands below them."""

import contextlib
import io
import re
from importlib.resources import as_file, files
from pathlib import Path

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
BLOCK = README.split("<!-- library -->")[1].split("<!-- /library -->")[0]


def test_the_library_lines_of_the_readme_print_what_it_says(monkeypatch):
    code = re.search(r"```python\n(.*?)```", BLOCK, flags=re.DOTALL).group(1)
    said = re.search(r"```\n(damage .*?)```", BLOCK, flags=re.DOTALL).group(1)
    printed = io.StringIO()
    with as_file(files("loadhistories.samples")) as samples, contextlib.redirect_stdout(printed):
        monkeypatch.chdir(samples)
        exec(compile(code, "README.md", "exec"), {})
    assert printed.getvalue() == said


def test_they_are_ten_lines_beside_the_imports():
    lines = re.search(r"```python\n(.*?)```", BLOCK, flags=re.DOTALL).group(1).splitlines()
    assert len([line for line in lines if line and "import" not in line]) <= 10
    assert max(map(len, lines)) <= 120
