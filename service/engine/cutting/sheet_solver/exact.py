"""Exact planning where the sets that fit a sheet can be listed: an integer program over those to which nothing can be added."""

from service.engine.cutting.sheet_solver.instance import SheetInstance, Take
from service.engine.cutting.sheet_solver.program import Column, cheapest
from service.engine.cutting.sheet_solver.sets import FittingSets

MOST_NODES = 2000


class Exact:
    """`is_complete`: every set is listed, so that what is proven here holds for every guillotine plan."""

    def __init__(self, instance: SheetInstance) -> None:
        self.instance = instance
        self.sets = FittingSets(instance)
        self.is_complete = self.sets.list_all()

    def cheapest(self, below: int) -> tuple[list[Take] | None, int]:
        """(the cheapest plan below a price if there is one, a bound on every guillotine plan); pieces may be cut too many."""
        columns = self._columns()
        choice = cheapest(self.instance, columns, below, MOST_NODES)
        if choice.copies is None:
            return None, choice.lower_bound
        return [self.take(c, n) for c, n in zip(columns, choice.copies, strict=True) if n], choice.lower_bound

    def take(self, column: Column, copies: int) -> Take:
        sheet, counts = column
        key = self.sets.key(counts)
        return Take(sheet, self.sets.block(key, self.sets.place_on(key, sheet)), counts, copies)

    def _columns(self) -> list[Column]:
        """Sets on sheets to which no piece can be added, and that no other sheet holds as cheaply."""
        sets, sheets = self.sets, self.instance.sheets
        by_price = sorted(self.instance.unlimited, key=lambda k: (sheets[k].price, sheets[k].width * sheets[k].length, k))
        rank = {k: n for n, k in enumerate(by_price)}
        cheapest_on = {key: next((rank[k] for k in by_price if sets.place_on(key, k) >= 0), len(rank)) for key in sets.boxes}
        columns: list[Column] = []
        for key in sets.boxes:
            counts = sets.counts(key)
            larger = [
                key + radix
                for n, most, radix in zip(counts, self.instance.demand, sets.radix, strict=True)
                if n < most and key + radix in sets.boxes
            ]
            best = cheapest_on[key]
            if best < len(rank) and all(cheapest_on[other] > best for other in larger):
                columns.append((by_price[best], counts))
            for k in self.instance.limited:
                cheaper = best < len(rank) and sheets[by_price[best]].price <= sheets[k].price
                if not cheaper and sets.place_on(key, k) >= 0 and all(sets.place_on(other, k) < 0 for other in larger):
                    columns.append((k, counts))
        return columns
