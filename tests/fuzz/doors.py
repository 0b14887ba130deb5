"""The doors through which something from outside comes in, each as a function of bytes or of a job."""

import gzip
import os
import shutil
import zipfile
from pathlib import Path

import mutants
from outcomes import REFUSED, outcome_of, require_sound


def made_folder(folder: Path) -> Path:
    """A folder with the records of the sound jobs, and with what no record may be."""
    folder.mkdir(parents=True, exist_ok=True)
    for record in mutants.records():
        shutil.copy(record, folder)
    for name, text in mutants.TABLES.items():
        (folder / name).write_text(text, encoding="utf-8")
    if not (folder / "pipe.csv").exists():
        os.mkfifo(folder / "pipe.csv")
        (folder / "folder.csv").mkdir()
        (folder / "zero.csv").symlink_to("/dev/zero")
        (folder / "self.csv").symlink_to("self.csv")
        with zipfile.ZipFile(folder / "archive.zip", "w") as archive:
            archive.writestr("../inner.csv", "Time (s),Fy (kN)\n")
        shutil.copy(folder / "archive.zip", folder / "archive.csv")
    return folder


def job_of_values(folder: Path, job: dict, *, notes: bool = False) -> str:
    """Assess a job that is given as tables; every outcome is a sound contract or a refusal."""
    from cli.compare_toml import toml_text

    return job_of_bytes(folder, toml_text(job).encode("utf-8"), notes=notes)


def job_of_bytes(folder: Path, content: bytes, *, notes: bool = False) -> str:
    """Assess a job file; with `notes` its table and its note are made as well."""
    from cli.assess import assess_file

    file = folder / "job.toml"
    file.write_bytes(content)
    contract = outcome_of(assess_file, file)
    if contract == REFUSED:
        return REFUSED
    require_sound(contract)
    if notes:
        from cli.note import note_html
        from cli.screen import summary

        text = summary(contract, colour=False) + note_html(contract)
        text.encode("utf-8")
    return contract["state"]


def read_bytes(folder: Path, content: bytes) -> str:
    """Read a job file without assessing it: the fastest way to its door."""
    from cli.job import read_job

    file = folder / "job.toml"
    file.write_bytes(content)
    return outcome_of(lambda: read_job(file).title)


def record_of_bytes(folder: Path, ending: str, content: bytes, **options) -> str:
    """Look at and read a record of any format; all of its values are finite."""
    import numpy as np

    from cli.look import look_at, look_text
    from loadhistories import read_history

    file = folder / f"record{ending}"
    file.write_bytes(gzip.compress(content) if ending.endswith(".gz") else content)

    def read():
        history = read_history(file, **options)
        return np.isfinite(history.values).all() and len(history.names) == len(history.values)

    found = outcome_of(read, seconds=10.0)
    if found != REFUSED and not found:
        raise AssertionError("a value of a record is not finite")
    seen = outcome_of(lambda: look_text(look_at(file, **options)), seconds=10.0)
    return REFUSED if seen == REFUSED or found == REFUSED else "read"


def table_door(name: str, folder: Path):
    """The door of a small table, as a function of its bytes, and the seeds of its inputs."""
    given = _TABLES[name](folder)
    file, read = given[0], given[1]

    def door(content: bytes) -> str:
        file.write_bytes(content)
        found = outcome_of(read)
        if isinstance(found, dict):
            require_sound(found)
            return found["state"]
        return REFUSED if found == REFUSED else "read"

    return door, given[2]


def _job_beside(folder: Path, table: str, part: str):
    """A job that rests on a table: it is assessed with whatever the table holds."""
    from cli.assess import assess_file
    from cli.compare_toml import toml_text

    job = next(job for job in mutants.sound_jobs().values() if part in job["load"][0])
    (folder / "table_job.toml").write_text(toml_text(job), encoding="utf-8")
    return folder / table, lambda: assess_file(folder / "table_job.toml"), [mutants.TABLES[table].encode("utf-8")]


def _density(folder: Path):
    from loadhistories.density import read_density

    file = folder / "density.csv"
    return file, lambda: read_density(file), [b"Frequency [Hz],Density [MPa2/Hz]\n1,2\n2,5\n10,0\n"]


def _rates(folder: Path):
    from cli.compare_rates import read_rates, sample_text

    file = folder / "rates.toml"
    return file, lambda: read_rates(str(file)), [sample_text().encode("utf-8")]


def _rows(folder: Path):
    from cli.schedule import read_schedule

    base = folder / "rows_job.toml"
    shutil.copy(mutants.SAMPLE, base)
    file = folder / "rows.csv"
    seeds = [b"name,joint.bolts.size,joint.bolts.rows\na,M20,3\nb,M24,4\n", b"joint.bolts.preload;job\n100 kN;x.toml\n"]
    return file, lambda: read_schedule(file, base), seeds


def _duty(folder: Path):
    from cli.assess import assess_file
    from cli.compare_toml import toml_text

    job = mutants.sound_jobs()["crane_bracket.toml"]
    columns = {"hook_load": "hook_load", "crab": "crab", "from": "from", "to": "to", "lifts": "lifts"}
    units = {"hook_load": "kN", "crab": "m", "from": "m", "to": "m"}
    for load in (load for load in job["load"] if "crane" in load):
        load["crane"]["duty"] = {"file": "duty.csv", "columns": columns, "units": units, "lifts_per": "day"}
    (folder / "duty_job.toml").write_text(toml_text(job), encoding="utf-8")
    seed = b"hook_load,crab,from,to,lifts\n100,2,1.5,10.5,4\n50,3,2,9,1\n"
    return folder / "duty.csv", lambda: assess_file(folder / "duty_job.toml"), [seed]


_TABLES = {
    "counted": lambda folder: _job_beside(folder, "cycles.csv", "counted"),
    "events": lambda folder: _job_beside(folder, "lifts.csv", "events"),
    "density": _density,
    "rates": _rates,
    "rows": _rows,
    "duty": _duty,
}
