"""The cheapest plan found so far."""

from service.engine.cutting.sheet_solver.instance import SheetInstance, Take
from service.engine.cutting.sheet_solver.tidy import trimmed


class Incumbent:
    """Of plans of equal price it keeps the first."""

    def __init__(self, instance: SheetInstance, takes: list[Take]) -> None:
        self.instance, self.takes = instance, takes
        self.cost = instance.cost(takes)

    def offer(self, takes: list[Take]) -> None:
        """A plan that may cut more than is wanted."""
        if self.instance.cost(takes) < self.cost:
            self.takes = trimmed(self.instance, takes)
            self.cost = self.instance.cost(self.takes)
