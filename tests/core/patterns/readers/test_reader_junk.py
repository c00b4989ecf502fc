"""Junk of any kind raises nothing but an input error."""

import json
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import InputError
from core.patterns.build3d import conservative
from core.patterns.readers import read_pattern
from support.effort import many
from support.pattern_files import (
    BASTA,
    DISH,
    FIELD,
    OLD,
    SMALL,
    as_json,
    small_basta,
)

FUZZ = settings(
    max_examples=many(150),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def only_input_errors(path, data, **choices):
    path.write_bytes(data)
    failure = None
    try:
        pattern = read_pattern(path, **choices)
    except InputError as error:
        failure = error
    if failure is None:
        assert math.isfinite(pattern.gain)
        used = pattern if pattern.gain_known else pattern.with_gain(0.0)
        assert conservative(used).peak == pytest.approx(used.gain, abs=1e-6)
    else:
        assert "\n" not in failure.line()
        assert failure.source == path.name


@FUZZ
@given(data=st.binary(max_size=400))
def test_arbitrary_bytes_raise_nothing_but_an_input_error(tmp_path, data):
    only_input_errors(tmp_path / "fuzz.adf", data)


@FUZZ
@given(text=st.text(max_size=200), head=st.sampled_from(["REVNUM:,", "{", "azimuth_deg,loss_db\n"]))
def test_arbitrary_text_raises_nothing_but_an_input_error(tmp_path, text, head):
    only_input_errors(tmp_path / "fuzz.adf", (head + text).encode("utf-8", "surrogatepass"))


@settings(FUZZ, max_examples=many(600))
@given(
    sample=st.sampled_from([SMALL.encode(), OLD.encode(), FIELD.read_bytes(), DISH.read_bytes()]),
    edits=st.lists(
        st.tuples(
            st.floats(0.0, 1.0),
            st.integers(0, 12),
            st.one_of(
                st.binary(max_size=4),
                st.sampled_from(
                    [b",", b"-", b"\n", b"0", b"1e9", b".", b"/", b"nan", b"!", b" ", b"9"]
                ),
            ),
        ),
        min_size=1,
        max_size=4,
    ),
    accept=st.booleans(),
)
def test_mutated_samples_raise_nothing_but_an_input_error(tmp_path, sample, edits, accept):
    data = sample
    for where, length, new in edits:
        at = int(where * len(data))
        data = data[:at] + new + data[at + length :]
    only_input_errors(tmp_path / "fuzz.adf", data, accept_count=accept, linear="field")


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(FUZZ, max_examples=many(300))
@given(data=st.data())
def test_mutated_json_raises_nothing_but_an_input_error(tmp_path, data):
    document = json.loads(small_basta(json.loads(BASTA.read_text())))
    for _ in range(data.draw(st.integers(1, 3))):
        key = data.draw(st.sampled_from(sorted(document)))
        if key in ("Gain", "EIRP", "Frequency", "Frequency_Range") and data.draw(st.booleans()):
            document[key] = {"value": data.draw(JSON_VALUES), "unit": data.draw(JSON_VALUES)}
        else:
            document[key] = data.draw(JSON_VALUES)
    only_input_errors(tmp_path / "fuzz.json", as_json(document))
