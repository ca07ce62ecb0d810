"""What the physics refuses, with the place and the reason, so that a caller can be pointed at the number to mend."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

Place = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class PhysicsFault:
    """One wrong thing: the path to it from the object that was being made, a stable code, a sentence."""

    where: Place
    code: str
    detail: str


class Refused(ValueError):
    """Raised with every fault found in one object; `str()` is a sentence for a person."""

    def __init__(self, faults: Sequence[PhysicsFault]) -> None:
        super().__init__("; ".join(f.detail for f in faults))
        self.faults = tuple(faults)

    def under(self, *where: str | int) -> "Refused":
        """The same refusal, seen from the object that holds the faulty one."""
        return Refused([replace(f, where=(*where, *f.where)) for f in self.faults])


def refuse(where: Place, code: str, detail: str) -> Refused:
    """A refusal of one fault, to be raised."""
    return Refused([PhysicsFault(where, code, detail)])


class Checks:
    """Collects the faults of one object, then raises them together."""

    def __init__(self) -> None:
        self.faults: list[PhysicsFault] = []

    def add(self, where: Place, code: str, detail: str) -> None:
        self.faults.append(PhysicsFault(where, code, detail))

    def positive(self, name: str, value: float, most: float = math.inf) -> None:
        """A finite number above zero and at most `most`."""
        if not math.isfinite(value):
            self.add((name,), "not_finite", f"{name} must be a finite number")
        elif value <= 0:
            self.add((name,), "not_positive", f"{name} must be more than zero, not {value:g}")
        elif value > most:
            self.add((name,), "out_of_range", f"{name} must be at most {most:g}, not {value:g}")

    def within(self, name: str, value: float, least: float, most: float) -> None:
        """A finite number from `least` to `most`, both allowed."""
        if not math.isfinite(value):
            self.add((name,), "not_finite", f"{name} must be a finite number")
        elif not least <= value <= most:
            self.add((name,), "out_of_range", f"{name} must be from {least:g} to {most:g}, not {value:g}")

    def done(self) -> None:
        """Raises `Refused` if anything was found."""
        if self.faults:
            raise Refused(self.faults)
