"""The same question gets the same bytes: whatever order things are named in, whatever the hash seed, in whichever process."""

import hashlib
import os
import random
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from surveys import survey

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Options, TakeoffInput
from service.engine.recipe import take_off
from service.snapshots.encode import encode
from service.vocabulary import Component, Currency, Pool

PROGRAM = """
import random, sys
from test_determinism import asked, fingerprint
print(fingerprint(asked(random.Random(int(sys.argv[1])))))
"""


def asked(shuffle: random.Random) -> TakeoffInput:
    """Prices, stock on hand, offcuts of which some are alike: everything that has an order to be lost."""
    items = [replace(item, price_minor=100 + (item.length_mm or 0) // 9, on_hand=6) for item in BUILTIN_RANGE]
    offcuts = [Item(component=Component.C_STUD, length_mm=n) for n in (2400, 2400, 1900, 700, 1250)]
    offcuts += [Item(component=Component.PLASTERBOARD, width_mm=w, length_mm=2400) for w in (600, 600, 900)]
    shuffle.shuffle(items)
    shuffle.shuffle(offcuts)
    allowances = [(Component.C_STUD, 5.0), (Component.PLASTERBOARD, 10.0), (Component.FRAME_SCREW, 2.5)]
    shuffle.shuffle(allowances)
    options = Options(pool=Pool.ROOM, kerf_mm=3, allowances=dict(allowances))
    return survey(items=tuple(items), offcuts=tuple(offcuts), currency=Currency.GBP, options=options)


def fingerprint(inputs: TakeoffInput) -> str:
    kept = encode(inputs, take_off(inputs))
    told = hashlib.sha256(repr(kept.summary).encode())
    for key, body in kept.parts.items():
        told.update(repr(key).encode() + body)
    return told.hexdigest()


@pytest.fixture(scope="module")
def here() -> str:
    return fingerprint(asked(random.Random(0)))


def test_the_question_has_offcuts_drawn_on_and_stock_that_runs_short() -> None:
    """Or the tests below would prove little."""
    taken = take_off(asked(random.Random(0)))
    assert any(bar.offcut for cut_list in taken.cut_lists for bar in cut_list.bars)
    assert any(sheet.offcut for cut_list in taken.flat_cut_lists for sheet in cut_list.sheets)
    assert any(found.code == "stock_short" for found in taken.findings)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_order_of_items_offcuts_and_allowances_is_nothing(here: str, seed: int) -> None:
    assert fingerprint(asked(random.Random(seed))) == here


@pytest.mark.parametrize("hash_seed", ["0", "1", "4711"])
def test_neither_the_process_nor_its_hash_seed_is_anything(here: str, hash_seed: str) -> None:
    root, folder = Path(__file__).parents[2], Path(__file__).parent
    path = os.pathsep.join([str(root), str(folder)])
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": path}
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM, hash_seed], env=environment, capture_output=True, text=True, check=False, cwd=root
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.strip() == here
