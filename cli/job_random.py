"""The table `psd` of a detail of a job file: the spectral density of a random stress, and how long it acts."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from cli.keys import Keys
from fatigue.random_stress import RandomTask, random_task
from loadhistories.density import density_of
from loadhistories.occurrence import repeats
from loadhistories.small_files import content_of
from loadhistories.validation import InputError


@dataclass(frozen=True)
class Densities:
    """Where the files of densities stand, and the design life [s]; None where it was refused."""

    folder: Path
    design_life: float | None

    def read(self, keys: Keys) -> RandomTask | None:
        """The table `psd` of a detail, or None where there is none or something in it was refused.

        Examples
        --------
        In a job file:

        psd = { file = "density.csv", occurs = "16 h/day" }
        """
        inner = keys.table_of("psd")
        if inner is None:
            return None
        file, occurs = inner.text("file", like='"density.csv"'), inner.text("occurs", like='"16 h/day"')
        inner.done()
        if file is None or occurs is None or self.design_life is None:
            return None
        # A density has no span of its own; of a time the span does not matter.
        occurrence = inner.attempt(repeats, occurs, design_life=self.design_life, span=1.0, place=inner.at("occurs"))
        try:
            content = content_of(self.folder / file, "density")
            table = density_of(content, self.folder / file)
        except InputError as refusal:
            for problem in refusal.problems:
                inner.note(problem, "file")
            return None
        if occurrence is None:
            return None
        task = inner.attempt(random_task, file, *table, occurrence, place=inner.place)
        if task is None:
            return None
        return replace(task, sha256=hashlib.sha256(content).hexdigest(), size=len(content))
