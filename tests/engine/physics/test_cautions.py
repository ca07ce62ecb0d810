"""Which cautions a job calls for, and what none of them may say."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.engine.physics.cautions import Job, cautions
from service.engine.physics.limits import MOISTURE_LIMITS, THERMAL_LIMITS
from service.vocabulary import Substrate

QUIET = Job(frozenset({Substrate.TIMBER_FRAME}), year_built=2015, heaviest_board_kg=20, drilling=False)
EVERYTHING = Job(frozenset(Substrate), None, 30, True, True, True, True, True)


def ids(job: Job) -> set[str]:
    return {caution.id for caution in cautions(job)}


def test_a_quiet_job_still_hears_of_damp_and_ventilation() -> None:
    assert ids(QUIET) == {"damp_first", "ventilation", "timber_moisture"}


@pytest.mark.parametrize(
    ("job", "called"),
    [
        (
            Job(frozenset({Substrate.SOLID_BRICK}), 2015, drilling=False),
            {"driving_rain", "solid_masonry_moisture", "built_in_timber"},
        ),
        (Job(frozenset({Substrate.CONCRETE_BLOCK}), 2015, drilling=False), {"driving_rain"}),
        (Job(frozenset({Substrate.OTHER}), 2015, drilling=False), {"unknown_substrate"}),
        (Job(frozenset(), 1999, drilling=False), {"asbestos"}),
        (Job(frozenset(), 1960, drilling=False), {"asbestos", "lead_paint"}),
        (Job(frozenset(), None, drilling=False), {"asbestos", "lead_paint"}),
        (Job(frozenset(), 2000, drilling=False), set()),
        (Job(frozenset(), 2015, heaviest_board_kg=25.1, drilling=False), {"heavy_boards"}),
        (Job(frozenset(), 2015, heaviest_board_kg=25.0, drilling=False), set()),
        (Job(frozenset({Substrate.TIMBER_FRAME}), 2015, drilling=True), {"timber_moisture", "hidden_services"}),
        (Job(frozenset({Substrate.DENSE_CONCRETE}), 2015, drilling=True), {"driving_rain", "hidden_services", "silica_dust"}),
        (Job(frozenset(), 2015, drilling=False, mineral_fibre=True), {"mineral_fibre"}),
        (Job(frozenset(), 2015, drilling=False, window_reveals=True), {"window_reveals"}),
        (Job(frozenset(), 2015, drilling=False, combustion_appliance=True), {"combustion_appliance"}),
        (Job(frozenset(), 2015, drilling=False, electrical_features=True), {"electrical_features"}),
    ],
)
def test_each_fact_calls_its_cautions(job: Job, called: set[str]) -> None:
    assert ids(job) - {"damp_first", "ventilation"} == called


def test_every_caution_says_what_to_do_who_is_competent_and_where_it_comes_from() -> None:
    found = cautions(EVERYTHING)
    assert len(found) == len({c.id for c in found})
    for caution in found:
        assert all((caution.because, caution.what_to_do, caution.competent, caution.source, caution.certainty))


def test_nothing_says_that_a_job_is_safe_or_compliant() -> None:
    texts = [f"{c.because} {c.what_to_do} {c.competent}" for c in cautions(EVERYTHING)]
    texts += [limit.text for limit in (*THERMAL_LIMITS, *MOISTURE_LIMITS)]
    for text in texts:
        assert not re.search(r"\b(safe|safely|compliant|complies|approved|certified)\b", text, re.IGNORECASE), text


def test_the_limits_name_what_the_moisture_method_leaves_out() -> None:
    said = " ".join(limit.text.lower() for limit in MOISTURE_LIMITS)
    for left_out in ("driving rain", "pores", "built in", "air that leaks", "en 15026", "competent"):
        assert left_out in said
    assert len({limit.id for limit in (*THERMAL_LIMITS, *MOISTURE_LIMITS)}) == len(THERMAL_LIMITS) + len(MOISTURE_LIMITS)


@given(st.frozensets(st.sampled_from(list(Substrate))), st.booleans(), st.booleans())
def test_more_facts_never_take_a_caution_away(substrates: frozenset[Substrate], drilling: bool, fibre: bool) -> None:
    fewer = Job(substrates, 2015, 20, drilling, fibre)
    more = Job(substrates | {Substrate.STONE}, None, 30, True, True, True, True, True)
    assert ids(fewer) <= ids(more)
