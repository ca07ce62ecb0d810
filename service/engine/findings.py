"""Makes findings: the severity of each code stands in the vocabulary, the sentence is written where the fact is known."""

from service.engine.results import Finding
from service.finding_codes import FINDING_SEVERITY, FindingCode
from service.vocabulary import Component


def finding(
    code: FindingCode,
    message: str,
    room: int | None,
    wall: int | None = None,
    opening: int | None = None,
    component: Component | None = None,
) -> Finding:
    return Finding(code, FINDING_SEVERITY[code], message, room, wall, opening, component)


def in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """Sorted by place, then code; the same sentence about the same place once."""
    unique = dict.fromkeys(findings)
    return tuple(sorted(unique, key=lambda f: (f.room or 0, f.wall or 0, f.opening or 0, f.code, f.message)))
