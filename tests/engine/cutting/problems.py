"""Random cutting problems for properties, and an invented job for examples."""

from hypothesis import strategies as st

from service.engine.cutting.problem import Stock

JOB = {2385: 18, 2100: 4, 886: 6, 585: 12}
JOB_STOCK = (Stock(2400, 412), Stock(3000, 519), Stock(3600, 641), Stock(4200, 763), Stock(1450, 0, 2))
JOB_KERF_MM = 3

Problem = tuple[dict[int, int], list[Stock], int]


def tiny_problems() -> st.SearchStrategy[Problem]:
    """At most six pieces, so that every way of cutting can be tried."""
    stock = st.builds(Stock, st.integers(8, 30), st.integers(0, 12), st.one_of(st.none(), st.integers(0, 2)))
    pieces = st.lists(st.integers(2, 28), min_size=1, max_size=6).map(_counted)
    return st.tuples(pieces, st.lists(stock, min_size=1, max_size=3), st.integers(0, 3))


def problems() -> st.SearchStrategy[Problem]:
    """Rooms: a few lengths, several of each, bars with and without limit, some pieces longer than any bar."""
    lengths = st.one_of(st.integers(200, 1900), st.integers(2300, 2420), st.integers(4000, 4400))
    bars = st.builds(Stock, st.sampled_from([2400, 2700, 3000, 3600, 4200]), st.integers(300, 900))
    offcuts = st.builds(Stock, st.integers(500, 2500), st.sampled_from([0, 0, 150]), st.integers(0, 4))
    return st.tuples(
        st.dictionaries(lengths, st.integers(0, 12), max_size=8),
        st.lists(st.one_of(bars, bars, offcuts), max_size=6),
        st.integers(0, 5),
    )


def _counted(lengths: list[int]) -> dict[int, int]:
    return {length: lengths.count(length) for length in lengths}
