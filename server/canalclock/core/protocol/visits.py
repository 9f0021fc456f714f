"""What a protocol does and asks at one of its visits."""

from canalclock.core.protocol.definition import Ask, Protocol


def irrigants_of_visit(protocol: Protocol, visit: int) -> frozenset[str]:
    """Irrigants of the solutions that a visit's stages use."""
    steps = [s for stage in protocol.stages if stage.visit == visit for s in stage.steps]
    used = {s.solution for s in steps}
    return frozenset(
        c.irrigant for s in protocol.solutions if s.solution in used for c in s.contents
    )


def asks_of_visit(protocol: Protocol, visit: int) -> tuple[Ask, ...]:
    """What is asked at a visit: of irrigants that its stages use, for this visit or for each."""
    used = irrigants_of_visit(protocol, visit)
    return tuple(a for a in protocol.asks if a.visit in (None, visit) and a.irrigant in used)
