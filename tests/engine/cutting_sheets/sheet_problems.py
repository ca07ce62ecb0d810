"""Random flat problems for properties, and an invented room for examples. Sizes in tenths of a millimetre."""

from hypothesis import strategies as st

from service.engine.cutting.sheet_problem import Rectangle, SheetStock

ROOM = {(12000, 23850): 6, (9050, 23850): 2, (9050, 2850): 3, (4310, 23850): 1, (7200, 10400): 2}
ROOM_STOCK = (SheetStock(12000, 24000, 912), SheetStock(12000, 30000, 1149), SheetStock(5000, 11000, 0, 1))

Problem = tuple[dict[Rectangle, int], list[SheetStock], bool, int]
"""(pieces, stock, turning, kerf)."""


def tiny_problems() -> st.SearchStrategy[Problem]:
    """At most five pieces on sheets of a few units, so that every way of cutting can be tried."""
    stock = st.builds(
        SheetStock, st.integers(3, 11), st.integers(3, 11), st.integers(0, 9), st.one_of(st.none(), st.integers(0, 2))
    )
    pieces = st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), min_size=1, max_size=5).map(_counted)
    return st.tuples(pieces, st.lists(stock, min_size=1, max_size=3), st.booleans(), st.integers(0, 1))


def problems() -> st.SearchStrategy[Problem]:
    """Rooms: boards and strips of a few sizes, several of each, sheets with and without limit, some pieces larger than any."""
    widths = st.one_of(st.just(12000), st.integers(500, 12500))
    lengths = st.one_of(st.integers(22500, 27500), st.integers(1000, 12000))
    sheets = st.builds(SheetStock, st.sampled_from([9000, 12000]), st.sampled_from([24000, 27000, 30000]), st.integers(500, 1500))
    offcuts = st.builds(
        SheetStock, st.integers(3000, 12000), st.integers(5000, 20000), st.sampled_from([0, 0, 200]), st.integers(0, 3)
    )
    return st.tuples(
        st.dictionaries(st.tuples(widths, lengths), st.integers(0, 4), max_size=5),
        st.lists(st.one_of(sheets, sheets, offcuts), max_size=4),
        st.booleans(),
        st.sampled_from([0, 0, 30]),
    )


def _counted(sizes: list[Rectangle]) -> dict[Rectangle, int]:
    return {size: sizes.count(size) for size in sizes}
