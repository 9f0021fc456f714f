"""The accident card: published first steps, and plainly not the clinic's own."""

import re

from canalclock.incident_card import INCIDENT


def test_it_says_that_this_clinic_has_not_approved_it() -> None:
    assert not INCIDENT.approved
    assert "not approved by this clinic" in INCIDENT.notice
    assert "licensed judgement" in INCIDENT.notice


def test_every_step_has_its_sources_beside_it() -> None:
    assert INCIDENT.steps == tuple(s.text for s in INCIDENT.grounds)
    for step in INCIDENT.grounds:
        assert step.sources
        assert all(1 <= n <= len(INCIDENT.sources) for n in step.sources)
    cited = {n for step in INCIDENT.grounds for n in step.sources}
    assert cited == set(range(1, len(INCIDENT.sources) + 1))


def test_it_advises_no_dose_and_names_no_medicine() -> None:
    words = " ".join((*INCIDENT.steps, *INCIDENT.record))
    assert not re.search(r"\d+ ?(mg|mL|ml|g)\b", words)
    assert not re.search(r"amoxi|ibuprofen|dexameth|penicillin|prednis", words, re.I)
