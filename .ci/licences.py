"""Lists the licence of every package that griplife needs, extras and what they need in turn among them.

`python .ci/licences.py` prints a line for each and ends with 1 where one is not among those that may go with MIT.
"""

import re
import sys
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).parent.parent
# May be installed beside a work under MIT by anyone; the weak copyleft ones (LGPL, MPL) as packages of their own only.
ALLOWED = (
    "MIT", "MIT-0", "MIT-CMU", "BSD", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "Apache-2.0", "Apache", "ISC",
    "PSF-2.0", "PSF", "Python-2.0", "HPND", "Zlib", "Unlicense", "CC0-1.0", "BSL-1.0",
    "Boost", "MPL-2.0", "MPL", "LGPL-3.0", "LGPL",
)  # fmt: skip
# The words of classifiers and of the older field for the same licences.
_WORDS = (
    (r"\bAGPL|Affero", "AGPL"), (r"\bLGPL|Lesser General Public", "LGPL"), (r"\bGPL|GNU General Public", "GPL"),
    (r"Mozilla|\bMPL", "MPL"), (r"Apache", "Apache"), (r"\bMIT\b|Expat", "MIT"), (r"\bISC\b", "ISC"), (r"\bBSD", "BSD"),
    (r"Python Software Foundation|\bPSF", "PSF"), (r"zlib", "Zlib"), (r"Boost|BSL-1", "Boost"),
    (r"Unlicense", "Unlicense"), (r"CC0", "CC0-1.0"), (r"HPND|Historical Permission", "HPND"),
    (r"Proprietary|Commercial", "proprietary"),
)  # fmt: skip


def needed(extras: tuple[str, ...] | None = None) -> dict[str, Distribution | None]:
    """Every package by its name; None for one that is not installed here.

    Parameters
    ----------
    extras : tuple of str, optional
        Extras whose packages count as well; all of them where none are named.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = list(project["dependencies"])
    for extra, packages in project["optional-dependencies"].items():
        wanted += packages if extras is None or extra in extras else []
    found: dict[str, Distribution | None] = {}
    while wanted:
        line = wanted.pop()
        name = re.match(r"[A-Za-z0-9._-]+", line)[0].lower().replace("_", "-")
        chosen = re.search(r"\[(.*?)\]", line.partition(";")[0])
        if name in found and not chosen:
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            found[name] = None
            continue
        wanted += _needs(found[name], chosen[1].split(",") if chosen else [])
    return dict(sorted(found.items()))


def _needs(package: Distribution, extras: list[str]) -> list[str]:
    """Lines of what a package needs here; what belongs to an extra only where this is asked for."""
    lines = []
    for line in package.requires or []:
        text, _, marker = line.partition(";")
        asked = re.search(r"extra\s*==\s*['\"](.*?)['\"]", marker)
        if asked is None or asked[1] in [extra.strip() for extra in extras]:
            lines.append(text.strip())
    return lines


def licence_of(package: Distribution) -> tuple[str, ...]:
    """Identifiers of the licences that a package names; () where it names none."""
    told = package.metadata
    expression = told.get("License-Expression")
    if expression:
        return tuple(part for part in re.split(r"\s+(?:AND|OR|WITH)\s+|[()]", expression) if part.strip())
    classifiers = [line for line in told.get_all("Classifier") or [] if line.startswith("License ::")]
    texts = [line.rpartition("::")[2] for line in classifiers if not line.endswith("OSI Approved")]
    texts = texts or [(told.get("License") or "").strip().partition("\n")[0]]
    found = [next((word for sign, word in _WORDS if re.search(sign, text, re.IGNORECASE)), "") for text in texts]
    named = tuple(dict.fromkeys(word or text for word, text in zip(found, texts, strict=True) if text))
    return named or _of_file(package)


def _of_file(package: Distribution) -> tuple[str, ...]:
    """The licence that the head of a licence file beside the package tells of."""
    files = [path for path in package.files or () if re.search(r"LICEN[CS]E|COPYING", path.name, re.IGNORECASE)]
    heads = [path.read_text()[:400] for path in files if path.locate().is_file()]
    return tuple(dict.fromkeys(word for head in heads for sign, word in _WORDS if re.search(sign, head)))


def objections(packages: dict[str, Distribution | None]) -> list[str]:
    """What speaks against each package: no licence named, or one that is not allowed."""
    found = []
    for name, package in packages.items():
        names = () if package is None else licence_of(package)
        bad = [word for word in names if not _allowed(word)]
        if package is not None and (bad or not names):
            found.append(f"{name} {package.version}: {', '.join(bad) or 'names no licence'}")
    return found


def _allowed(word: str) -> bool:
    plain = word.removesuffix("-only").removesuffix("-or-later").removesuffix("+")
    return plain in ALLOWED or plain.endswith("-exception")


def main() -> int:
    packages = needed()
    for name, package in packages.items():
        told = "not installed here" if package is None else f"{package.version}\t{' / '.join(licence_of(package))}"
        print(f"{name}\t{told}")
    found = objections(packages)
    print(*(f"not allowed: {text}" for text in found), sep="\n", file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
