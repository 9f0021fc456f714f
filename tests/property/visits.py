"""Visits as they come: realistic acts, and every nasty thing a device, a clock or a hand can do.

Times fall on a coarse grid so that ties and neighbours are common; devices have clocks with and
without bounds; acts go to canals nobody declared; tips lie above orifices and beyond lengths;
amendments chain, ring, conflict and miss; closes come early, twice or void.
"""

from typing import Any

from hypothesis import strategies as st

from tests import builders as b

Raw = dict[str, Any]

GRID_MS = 5_000
CANALS = ("mb", "ml", "d")
NEVER_DECLARED = "mid"
MIXES = (
    b.HYPOCHLORITE, b.STRONG_HYPOCHLORITE, b.EDTA, b.GEL, b.CHLORHEXIDINE, b.CHELATING_MIX,
    b.WATER, b.SALINE, b.UNKNOWN_CONTENTS, b.contents(urea_peroxide=100_000),
)  # fmt: skip
SYRINGES = ("s1", "s2", "s3")

instants = st.integers(0, 120).map(lambda step: step * GRID_MS)
sites = st.sampled_from((*CANALS, NEVER_DECLARED, "chamber", "chamber"))
canals = st.sampled_from((*CANALS, NEVER_DECLARED))
depths = st.none() | st.integers(0, 46).map(lambda half_mm: half_mm * 500)
durations = st.none() | st.sampled_from((0, 1_000, 5_000, 10_000, 60_000))
volumes = st.none() | st.integers(0, 5_000)
hows = st.sampled_from(("timed", "read", "planned", "planned", "estimated", "recalled"))
activations = st.sampled_from(("ultrasonic", "sonic", "manual_dynamic", "negative_pressure"))


def _payload(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[Raw]:
    return st.fixed_dictionaries(fields)


def _kind(kind: str, **fields: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[str, Raw]]:
    return st.tuples(st.just(kind), _payload(**fields))


_timer = _payload(
    canal=st.sampled_from(CANALS), step=st.sampled_from(("soak", "rinse")), cycle=st.integers(1, 2)
)

deliveries = _kind(
    "irrigant_delivered",
    site=sites,
    contents=st.sampled_from(MIXES),
    by=st.sampled_from((None, None, None, "on_file", "point", "chamber_fill")),
    volume_ul=volumes,
    duration_ms=durations,
    tip_um=depths,
    how=hows,
)
from_syringes = _kind(
    "irrigant_delivered",
    site=sites,
    syringe=st.sampled_from((*SYRINGES, "never-entered")),
    volume_ul=volumes,
    duration_ms=durations,
    tip_um=depths,
    how=hows,
)
removals = _kind(
    "irrigant_removed", site=sites, by=st.sampled_from(("points", "aspiration")), to_um=depths
)
starts = _kind("activation_started", canal=canals, activation=activations, tip_um=depths)
stops = _kind("activation_stopped", canal=canals, activation=activations, tip_um=depths)
files = _kind("instrument_used", canal=canals, size=st.integers(10, 40), length_um=depths) | _kind(
    "canal_recapitulated", canal=canals, length_um=depths
)
facts = _kind(
    "canal_set",
    canal=canals,
    state=st.sampled_from((None, "located", "length_set", "left", "filled", "blocked")),
    orifice_um=depths,
    working_length_um=depths,
    joins=st.none()
    | _payload(canal=st.sampled_from(CANALS), short_of_wl_um=st.sampled_from((0, 3_000, 30_000))),
)
preparations = _kind(
    "syringe_prepared",
    syringe=st.sampled_from(SYRINGES),
    contents=st.sampled_from(MIXES),
    volume_ul=volumes,
    needle_tip=st.sampled_from((None, "flat", "side_vented")),
)
readings = _kind(
    "syringe_read",
    syringe=st.sampled_from(SYRINGES),
    left_ul=volumes,
    emptied=st.booleans(),
    discarded=st.booleans(),
)
others = st.one_of(
    _kind("check_done", what=st.sampled_from(("isolation", "radiograph"))),
    _kind("dressing_placed", site=canals, material=st.sampled_from(("calcium_hydroxide", "gutta"))),
    _kind("canal_filled", site=canals, material=st.just("sealer")),
    _kind("treatment_stopped"),
    _kind("treatment_resumed"),
    _kind("incident_declared", what=st.just("extrusion_suspected")),
    _kind("note_added", text=st.just("Written later.")),
    _kind("irrigant_warmed", target_c=st.integers(20, 60)),
    _kind(
        "question_answered",
        question=st.sampled_from(("open_apex", "earlier_incident", "allergy_chlorhexidine")),
        answer=st.sampled_from(("yes", "no", "unknown")),
    ),
    _kind(
        "guard_spoke",
        rule=st.just("pair"),
        level=st.sampled_from(("note", "caution")),
        about=st.just("edta+sodium_hypochlorite"),
        act=st.just("x"),
    ),
)
acts = st.one_of(
    deliveries, deliveries, deliveries, from_syringes, removals, starts, stops, files, facts,
    preparations, readings, others,
)  # fmt: skip


@st.composite
def visits(draw: st.DrawFn, max_acts: int = 25) -> list[Raw]:
    """All events of one visit, in some order; the first is its opening at 0."""
    chairs = [
        b.Chair("tablet", draw(st.sampled_from((0, 40, 3_000)))),
        b.Chair("phone", draw(st.sampled_from((0, 40, 8_000, None)))),
        b.Chair("Wall", draw(st.sampled_from((0, None)))),
    ]
    left_in = draw(
        st.lists(
            _payload(
                site=st.sampled_from(CANALS),
                contents=st.sampled_from(MIXES),
                dressing=st.booleans(),
            ),
            max_size=2,
            unique_by=lambda left: left["site"],
        )
    )
    chairs[0].opened(*CANALS[: draw(st.integers(0, 3))], present_at_start=left_in)
    for canal in draw(st.lists(st.sampled_from(CANALS), unique=True)):
        chairs[0].measured(canal)
    for kind, payload in draw(st.lists(acts, min_size=1, max_size=max_acts)):
        draw(st.sampled_from(chairs)).log(kind, draw(instants), **payload)
    events = [event for chair in chairs for event in chair.events]
    for _ in range(draw(st.integers(0, 2))):
        chair = draw(st.sampled_from(chairs))
        runs_from = draw(st.sampled_from(events))["id"]
        timer, due = draw(_timer), draw(instants)
        chair.log("timer_set", draw(instants), timer=timer, runs_from=runs_from, due_at_ms=due)
    _amend(draw, chairs, [event for event in events if event["kind"] != "visit_opened"])
    for _ in range(draw(st.sampled_from((0, 0, 0, 1, 2)))):
        draw(st.sampled_from(chairs)).closed(draw(instants))
    return [event for chair in chairs for event in chair.events]


def _amend(draw: st.DrawFn, chairs: list[b.Chair], events: list[Raw]) -> None:
    versions: dict[str, list[str]] = {}
    for _ in range(draw(st.integers(0, 4)) if events else 0):
        event = draw(st.sampled_from(events))
        known = versions.setdefault(event["id"], [event["id"]])
        replaces = draw(st.sampled_from((*known, "nobody-has-this")))
        chair, at_ms = draw(st.sampled_from(chairs)), draw(instants)
        if draw(st.booleans()):
            known.append(chair.voided(event["id"], at_ms, replaces))
            continue
        payload = {k: v for k, v in event.items() if k not in ENVELOPE}
        payload["occurred_at_ms"] = draw(instants)
        if draw(st.integers(0, 5)) == 0:
            payload["site"] = 7
        known.append(
            chair.log(
                "entry_corrected",
                at_ms,
                entry=draw(st.sampled_from((event["id"], event["id"], "nobody-has-this"))),
                replaces=replaces,
                reason="mistyped",
                payload=payload,
            )
        )


ENVELOPE = frozenset(
    {
        "id", "kind", "visit", "device", "device_seq", "staff", "occurred_at_ms",
        "device_clock_ms", "clock_error_ms", "dated_by_hand",
    }
)  # fmt: skip
