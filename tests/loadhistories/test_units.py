import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.units import BASE_UNITS, base_unit_of, measure, quantity, unit_scale
from loadhistories.validation import InputError

ACCEPTED = [
    ("12 kN", "N", 12_000.0),
    ("12kN", "N", 12_000.0),
    ("-14 kN", "N", -14_000.0),
    ("−14 kN", "N", -14_000.0),
    ("0.1 kN", "N", 100.0),
    ("1.2e3 N", "N", 1200.0),
    ("1 MN", "N", 1e6),
    ("20 mm", "mm", 20.0),
    ("0.32 m", "mm", 320.0),
    ("1 in", "mm", 25.4),
    ("355 MPa", "MPa", 355.0),
    ("355 N/mm2", "MPa", 355.0),
    ("355 N/mm²", "MPa", 355.0),
    ("355 N/mm^2", "MPa", 355.0),
    ("210 GPa", "MPa", 210_000.0),
    ("1 kNm", "N mm", 1e6),
    ("1 kN m", "N mm", 1e6),
    ("1 kN·m", "N mm", 1e6),
    ("1 kN*m", "N mm", 1e6),
    ("1 Nm", "N mm", 1e3),
    ("1 N.m", "N mm", 1e3),
    ("1 N mm", "N mm", 1.0),
    ("1 kNmm", "N mm", 1e3),
    ("3 cm2", "mm2", 300.0),
    ("3 cm3", "mm3", 3000.0),
    ("3 cm4", "mm4", 30_000.0),
    ("0.35 MPa/kN", "MPa/N", 0.35e-3),
    ("1.9 MPa/(kN m)", "MPa/(N mm)", 1.9e-6),
    ("1.9 MPa/kNm", "MPa/(N mm)", 1.9e-6),
    ("1.9 MPa/(kN·m)", "MPa/(N mm)", 1.9e-6),
    ("5 um\\m", "", 5e-6),
    ("5 um/m", "", 5e-6),
    ("5 µm/m", "", 5e-6),
    ("5 \u03bcm/m", "", 5e-6),
    ("5 µε", "", 5e-6),
    ("5 ustrain", "", 5e-6),
    ("5 %", "", 0.05),
    ("0.35", "", 0.35),
    ("2 1/m", "1/mm", 0.002),
    ("2 m^-1", "1/mm", 0.002),
    ("2 m⁻¹", "1/mm", 0.002),
    ("25 year", "s", 25 * 365.25 * 86_400),
    ("10 ms", "s", 0.01),
    ("100 Hz", "1/s", 100.0),
    ("1 mrad", "rad", 0.001),
]

REFUSED = [
    ("20", "mm", r'thickness has no unit: write it as in "20 mm", got \'20\' \(job\.toml\)'),
    (20, "mm", r'thickness must be a quantity with its unit, such as "20 mm", got 20 \(job\.toml\)'),
    (None, "mm", r"must be a quantity with its unit"),
    ("", "mm", r'must be a number with its unit, such as "20 mm", got \'\''),
    ("kN", "N", r"must be a number with its unit"),
    ("1,5 kN", "N", r'has a comma: write the decimal point .* as in "1\.5 kN", got \'1,5 kN\''),
    ("1,200.5 kN", "N", r'as in "1200\.5 kN"'),
    ("1 200 kN", "N", r"must be one number without separators"),
    ("12 kn", "N", r"unit 'kn' is unknown \(it means knots\); did you mean 'kN'\?"),
    ("12 KN", "N", r"unit 'KN' is unknown; did you mean 'kN'\?"),
    ("12 mpa", "MPa", r"unit 'mpa' is unknown; did you mean 'MPa'\?"),
    ("12 kNs", "N", r"unit 'kNs' is unknown"),
    ("12 J", "N mm", r"unit 'J' is unknown"),
    ("3 t", "N", r'\'t\' is a mass and no force; give the force it makes, such as "12 kN"'),
    ("3 kg", "N", r"'kg' is a mass and no force"),
    ("3 ft lb", "N mm", r"'lb' is a mass and no force"),
    ("20 kN", "mm", r'thickness must be a length such as "20 mm", got \'20 kN\' \(job\.toml\)'),
    ("20 deg", "", r"must be a plain number"),
    ("0.2", "rad", r"has no unit"),
    ("5 um/m", "rad", r"must be an angle"),
    ("1 MPa/kN m", "MPa/(N mm)", r'unit \'MPa/kN m\' is unclear; write it as in "MPa/\(kN m\)"'),
    ("1 N/mm/mm", "MPa", r"is unclear"),
    ("nan kN", "N", r"must be finite, got 'nan kN'"),
    ("-inf kN", "N", r"must be finite"),
    ("1e999 kN", "N", r"must be finite, got '1e999 kN'"),
    ("1e308 MN", "N", r"must be finite"),
    ("12 kN?", "N", r"cannot be read"),
    ("1.2.3 kN", "N", r"must be a number with its unit"),
]


@pytest.mark.parametrize(("text", "unit", "expected"), ACCEPTED)
def test_a_quantity_becomes_a_number_in_base_units(text, unit, expected):
    assert quantity(text, unit, "load") == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(("text", "unit", "wording"), REFUSED)
def test_a_refused_quantity_is_named_with_what_would_do(text, unit, wording):
    with pytest.raises(InputError, match=wording):
        quantity(text, unit, "thickness", "job.toml")


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        # international pound 0.45359237 kg, standard gravity 9.80665 m/s2, inch 25.4 mm, each exact by definition
        ("1 lbf", "N", 0.45359237 * 9.80665),
        ("1 kip", "N", 453.59237 * 9.80665),
        ("1 kip in", "N mm", 453.59237 * 9.80665 * 25.4),
        ("1 kip-in", "N mm", 453.59237 * 9.80665 * 25.4),
        ("1 kip ft", "N mm", 453.59237 * 9.80665 * 304.8),
        ("1 ksi", "MPa", 453.59237 * 9.80665 / 25.4**2),
        ("1 psi", "MPa", 0.45359237 * 9.80665 / 25.4**2),
        ("1 kgf", "N", 9.80665),
        ("180 deg", "rad", 3.141592653589793),
        ("180 °", "rad", 3.141592653589793),
    ],
)
def test_customary_units_follow_their_definitions(text, unit, expected):
    assert quantity(text, unit, "load") == pytest.approx(expected, rel=1e-14)


def test_decimal_factors_agree_with_the_registry():
    import pint

    registry = pint.UnitRegistry()
    pairs = [("kN", "N"), ("daN", "N"), ("cm", "mm"), ("GPa", "MPa"), ("bar", "MPa"), ("h", "s"), ("day", "s"),
             ("week", "s"), ("year", "s"), ("min", "s"), ("mrad", "rad")]  # fmt: skip
    for unit, base in pairs:
        assert unit_scale(unit, base) == pytest.approx(registry.Quantity(1.0, unit).to(base).magnitude, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "base"),
    [("kN", "N"), ("kNm", "N mm"), ("um/m", ""), ("um\\m", ""), ("MPa", "MPa"), ("N/mm2", "MPa"), ("deg", "rad"),
     ("ms", "s"), ("mm", "mm"), ("kN/m", "N/mm")],
)  # fmt: skip
def test_the_unit_of_a_channel_finds_its_base_unit(text, base):
    assert base_unit_of(text) == base


def test_an_unknown_unit_of_a_channel_is_refused_with_the_nearest():
    with pytest.raises(InputError, match=r"unit of column 'Fy': unit 'KN' is unknown; did you mean 'kN'\?.*\(a\.csv\)"):
        base_unit_of("KN", "unit of column 'Fy'", "a.csv")
    with pytest.raises(InputError, match="is none of N, mm, MPa"):
        base_unit_of("N s")


def test_a_measure_states_its_dimension():
    assert measure("0.32 m", "factor") == (320.0, (0, 1, 0, 0))
    assert measure("-1", "factor") == (-1.0, (0, 0, 0, 0))


@settings(deadline=None)
@given(st.floats(-1e6, 1e6), st.sampled_from([("kN", "N"), ("kNm", "N mm"), ("cm", "mm"), ("GPa", "MPa")]))
def test_unit_of_the_input_changes_nothing(value, units):
    unit, base = units
    scaled = quantity(f"{value * unit_scale(unit, base)!r} {base}", base, "load")
    assert quantity(f"{value!r} {unit}", base, "load") == pytest.approx(scaled, rel=1e-14, abs=1e-300)


@given(st.text(max_size=12), st.sampled_from(sorted(BASE_UNITS)))
@settings(deadline=None)
def test_any_text_is_read_or_refused(text, base):
    try:
        assert isinstance(quantity(text, base, "load"), float)
    except InputError as refusal:
        assert "load" in str(refusal)


def test_the_package_is_imported_without_its_slow_dependencies():
    code = "import sys, loadhistories; print(sorted({'pint', 'pyarrow', 'scipy', 'numba'} & set(sys.modules)))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def test_decimal_units_need_no_registry():
    code = (
        "import sys; from loadhistories.units import quantity; quantity('25 year', 's', 'life'); "
        "quantity('1.9 MPa/(kN m)', 'MPa/(N mm)', 'stress'); print('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"
