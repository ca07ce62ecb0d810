"""Processes that write at the same time while another follows the feed: it misses nothing, and no acknowledged write is lost."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.create_resource import create_resource
from service.usecases.read_changes import read_changes
from service.usecases.read_survey import read_survey
from service.vocabulary import ResourceKind as K

WRITERS, STEPS = 3, 6

WRITER = """
import json, sys
from uuid import UUID, uuid4
from service.store.database import Database
from service.usecases.apply_mutations import apply_mutations
from service.usecases.change_records import Mutation
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.records import Precondition
from service.vocabulary import MutationOp as Op, MutationStatus as S, ResourceKind as K

url, account, project, shared, writer, steps = sys.argv[1:]
database, account, project, shared = Database(url), UUID(account), UUID(project), UUID(shared)
numbers, names, unnumbered, base = [], {}, 0, 0
print("ready", flush=True)
sys.stdin.readline()
for step in range(int(steps)):
    name = f"{writer}/{step}"
    room = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400, "name": name}, parent_id=project)
    numbers.append(room.version)
    room = patch_resource(database, account, K.ROOM, room.id, {"name": name + " again"}, Precondition.match([room.version]))
    numbers.append(room.version)
    numbers.append(patch_resource(database, account, K.ROOM, shared, {"name": name}, Precondition.any()).version)
    wall, opening = uuid4(), uuid4()
    window = {"kind": "window", "offset_mm": 1, "width_mm": 600, "sill_mm": 900, "height_mm": 600}
    batch = [
        Mutation(name + "/wall", K.WALL, wall, Op.PUT, None, {"room_id": str(room.id), "length_mm": 4200, "name": name}),
        Mutation(name + "/opening", K.OPENING, opening, Op.PUT, None, {"wall_id": str(wall), "name": name, **window}),
        Mutation(name + "/shared", K.ROOM, shared, Op.PATCH, base, {"ceiling_height_mm": 2000 + step * 10 + int(writer)}),
    ]
    for _ in range(1 + step % 2):
        outcomes = apply_mutations(database, account, project, batch)
    assert [outcome.first or outcome.status for outcome in outcomes[:2]] == [S.APPLIED, S.APPLIED]
    stood = [outcome for outcome in outcomes if S.APPLIED in (outcome.status, outcome.first)]
    numbers += [outcome.change.version for outcome in stood]
    base = outcomes[2].change.version
    names |= {str(room.id): name + " again", str(wall): name, str(opening): name}
    if step % 3 == 1:
        delete_resource(database, account, K.OPENING, opening, Precondition.any())
        unnumbered += 1
        names[str(opening)] = None
    if step % 3 == 2:
        seen = max(numbers)
        (gone,) = apply_mutations(database, account, project, [Mutation(name + "/gone", K.WALL, wall, Op.DELETE, seen, {})])
        assert gone.status is S.APPLIED
        numbers += [gone.change.version - 1, gone.change.version]
        names |= {str(wall): None, str(opening): None}
print(json.dumps([numbers, unnumbered, names]))
"""

READER = """
import json, sys, threading, time
from uuid import UUID
sys.path.insert(0, sys.argv[4])
from following import Follower
from service.store.database import Database

url, account, project = sys.argv[1:4]
database, over = Database(url), threading.Event()
follower = Follower(database, UUID(account), UUID(project), limit=3)
print("ready", flush=True)
threading.Thread(target=lambda: (sys.stdin.readline(), over.set()), daemon=True).start()
counters = set()
while not over.is_set():
    follower.read_on()
    follower.survey()
    counters.add(follower.place.seen)
    time.sleep(0.01)
follower.read_on()
print(json.dumps([len(counters), follower.survey()], default=str))
"""


def test_nothing_is_lost_and_nothing_missed(database: Database, database_url: str, account: UUID) -> None:
    project = create_resource(database, account, K.PROJECT, {}).id
    shared = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project).id
    began = read_survey(database, account, project).version
    own = [database_url, str(account), str(project)]
    reader = _started(READER, *own, str(Path(__file__).parent))
    writers = [_started(WRITER, *own, str(shared), str(writer), str(STEPS)) for writer in range(WRITERS)]
    for process in (reader, *writers):
        assert process.stdout is not None and process.stdout.readline() == "ready\n"
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    told = [_finished(writer) for writer in writers]
    drains, copy = _finished(reader, "enough\n")

    stands = read_survey(database, account, project)
    assert copy == json.loads(json.dumps(stands.document, default=str))
    assert drains > 2, "it read while they wrote, not only before and after"

    numbers = [number for wrote, _, _ in told for number in wrote]
    unnumbered = sum(deletes for _, deletes, _ in told)
    assert len(numbers) == len(set(numbers)), "a number is one write's"
    assert len(numbers) + unnumbered == stands.version - began, "each number is of a write that was acknowledged"
    assert set(numbers) <= set(range(began + 1, stands.version + 1))

    live = read_changes(database, account, project, None, 1000).changes
    held = {str(row.id): row.record.data["name"] for row in live if row.record and row.kind is not K.PROJECT}
    for _, _, names in told:
        assert {id: held.get(id) for id in names} == names, "nobody else wrote these: each stands as its writer left it"


def _started(script: str, *arguments: str) -> "subprocess.Popen[str]":
    pipes: dict[str, Any] = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    return subprocess.Popen([sys.executable, "-c", script, *arguments], **pipes)


def _finished(process: "subprocess.Popen[str]", word: str | None = None) -> Any:
    output, errors = process.communicate(word, timeout=60)
    assert process.returncode == 0, errors
    return json.loads(output)
