"""Two devices offline, in any order of wishes, batches, lost answers and pages: nothing is lost, doubled or missed."""

from itertools import count
from typing import Any
from uuid import UUID

from following import Follower
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule, run_state_machine_as_test
from two_devices import CHILD, FIELDS, Account, Device

from service.errors import NotAllApplied
from service.store.database import Database
from service.usecases.apply_mutations import apply_mutations
from service.usecases.change_records import Mutation, Outcome
from service.usecases.create_resource import create_resource
from service.usecases.read_survey import read_survey
from service.vocabulary import MutationStatus as S
from service.vocabulary import ResourceKind as K

DEVICE, PICK = st.integers(0, 1), st.integers(0, 5)
PAGE_ROWS = 2


class TwoDevices(RuleBasedStateMachine):
    """One database for all runs; each has a project of its own."""

    def __init__(self, database: Database, account: UUID) -> None:
        super().__init__()
        self._database, self._account = database, account
        self._project = create_resource(database, account, K.PROJECT, {}).id
        self._devices = [Device(Follower(database, account, self._project, PAGE_ROWS)) for _ in range(2)]
        self._told = Account(self._project)
        self._fresh = count(1000)
        self._both_have_a_room()

    @rule(device=DEVICE, pick=PICK)
    def make(self, device: int, pick: int) -> None:
        view = self._devices[device].view()
        parents = [(self._project, K.PROJECT), *((id, held.kind) for id, held in view.items() if held.kind in CHILD)]
        parent, kind = parents[-1 - pick % len(parents)]
        child = CHILD[kind]
        self._devices[device].make(child, parent, self._values(child, FIELDS[child]))

    @rule(device=DEVICE, pick=PICK, fields=st.integers(1, 7), whole=st.booleans())
    def edit(self, device: int, pick: int, fields: int, whole: bool) -> None:
        if view := self._devices[device].view():
            id = list(view)[pick % len(view)]
            kind = view[id].kind
            names = [name for bit, name in enumerate(FIELDS[kind]) if fields >> bit & 1] or ["name"]
            self._devices[device].edit(id, self._values(kind, names), whole=whole)

    @rule(device=DEVICE, pick=PICK)
    def delete(self, device: int, pick: int) -> None:
        if view := self._devices[device].view():
            self._devices[device].delete(list(view)[-1 - pick % len(view)])

    @rule(device=DEVICE, how=st.sampled_from(["answered", "answered", "lost", "doubled", "all or nothing"]))
    def send(self, device: int, how: str) -> None:
        batch = list(self._devices[device].outbox)
        if how == "doubled":
            self._send(batch)
        outcomes = self._send(batch, atomic=how == "all or nothing")
        if how != "lost":
            self._devices[device].answered(outcomes)

    @rule(device=DEVICE, pages=st.integers(1, 4))
    def pull(self, device: int, pages: int) -> None:
        while self._devices[device].pull() and pages > 1:
            pages -= 1

    def _both_have_a_room(self) -> None:
        """With two walls and an opening in each."""
        first, second = self._devices
        for pick in (0, 0, 1, 0, 1):
            self.make(0, pick)
        assert [held.kind for held in first.view().values()] == [K.ROOM, K.WALL, K.WALL, K.OPENING, K.OPENING]
        self.send(0, "answered")
        for device in (first, second):
            self._drain(device)

    def teardown(self) -> None:
        """Both send what they have, then both read to the end: they and a newcomer hold what the server holds."""
        for device in self._devices:
            device.answered(self._send(list(device.outbox)))
        stands = read_survey(self._database, self._account, self._project)
        for device in self._devices:
            self._drain(device)
            assert device.follower.survey() == stands.document
            held = {id: (row.parent, row.values) for id, row in device.view().items()}
            assert held == self._told.live()
        newcomer = Follower(self._database, self._account, self._project, PAGE_ROWS)
        newcomer.read_on()
        assert newcomer.survey() == stands.document

    def _drain(self, device: Device) -> None:
        """Nobody writes meanwhile: after one drain from wherever it was there is nothing more, and no row came twice."""
        before = {id: change.version for id, change in device.follower.rows.items()}
        pages = 1
        while device.pull():
            pages += 1
        came = sum(before.get(id) != change.version for id, change in device.follower.rows.items())
        assert pages == max(1, -(-came // PAGE_ROWS)), "as many full pages as there were rows to tell"

    def _send(self, batch: list[Mutation], *, atomic: bool = False) -> list[Outcome]:
        """Where all or nothing comes to nothing, nothing changes, and the batch is sent wish by wish."""
        try:
            outcomes = apply_mutations(self._database, self._account, self._project, batch, atomic=atomic)
        except NotAllApplied as refusal:
            assert S.APPLIED not in {outcome.status for outcome in refusal.outcomes}
            self._hold_against_the_server()
            outcomes = apply_mutations(self._database, self._account, self._project, batch)
        self._told.enter(batch, outcomes)
        self._hold_against_the_server()
        return outcomes

    def _hold_against_the_server(self) -> None:
        survey = read_survey(self._database, self._account, self._project)
        held: dict[UUID, tuple[UUID, dict[str, Any]]] = {}
        for room in survey.document["rooms"]:
            held[room["id"]] = (self._project, {name: room[name] for name in FIELDS[K.ROOM]})
            for wall in room["walls"]:
                held[wall["id"]] = (room["id"], {name: wall[name] for name in FIELDS[K.WALL]})
                for opening in wall["openings"]:
                    held[opening["id"]] = (wall["id"], {name: opening[name] for name in FIELDS[K.OPENING]})
        assert held == self._told.live(), "what was applied stands until a write that saw it"
        assert survey.version == self._told.counter, "every number is a write that somebody was told of"

    def _values(self, kind: K, names: Any) -> dict[str, Any]:
        return {name: f"No. {next(self._fresh)}" if name == "name" else next(self._fresh) for name in names}


def test_two_devices_lose_nothing_and_end_alike(database: Database, account: UUID) -> None:
    few = settings(max_examples=max(1, settings().max_examples // 10), stateful_step_count=30)
    run_state_machine_as_test(lambda: TwoDevices(database, account), settings=few)
