"""What the README tells a newcomer to do, done as it stands there: the demonstration, its requests, a service of one's own."""

import argparse
import os
import re
import shlex
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from string import Template
from xml.etree import ElementTree

import httpx
import pytest
from weather import PATIENCE_SECONDS, ROOT, serving

BLOCKS = re.findall(r"```sh\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
OWN = {name: value for name, value in os.environ.items() if name != "DATABASE_URL" and not name.startswith("SERVICE_")}
"""The environment of somebody who has set nothing."""

CURL = argparse.ArgumentParser()
CURL.add_argument("-s", action="store_true")
CURL.add_argument("-X")
CURL.add_argument("-d")
CURL.add_argument("-H", action="append")
CURL.add_argument("url")


def block(beginning_with: str) -> str:
    (found,) = [text for text in BLOCKS if text.startswith(beginning_with)]
    return str(found)


def sent(text: str, **known: str) -> Iterator[httpx.Response]:
    """The requests of a block, as its curl commands would send them."""
    words = shlex.split(text, comments=True)
    begins = [i for i, word in enumerate(words) if word == "curl"] + [len(words)]
    for begin, end in pairwise(begins):
        told, _ = CURL.parse_known_args(words[begin + 1 : end])  # where the answer is to go is left aside
        headers = dict(Template(header).substitute(known).split(": ", 1) for header in told.H or ())
        method = told.X or ("GET" if told.d is None else "POST")
        url = Template(told.url).substitute(known)
        yield httpx.request(method, url, headers=headers, content=told.d, timeout=PATIENCE_SECONDS)


@contextmanager
def demonstration(place: Path) -> Iterator[tuple["subprocess.Popen[str]", dict[str, str]]]:
    """As the first line begins it, which goes on serving; and what it tells to export."""
    line = block("python3 -m venv .venv && .venv/bin/pip install -q -e . ")
    command, environment = [sys.executable, *shlex.split(line.rpartition("/python ")[2])], {**OWN, "TMPDIR": str(place)}
    with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        exported: dict[str, str] = {}
        try:
            while "API_KEY" not in exported:
                line = process.stdout.readline()
                assert line, "it ended before it had shown everything"
                if line.startswith("export "):
                    name, _, value = line.removeprefix("export ").strip().partition("=")
                    exported[name] = value
            yield process, exported
        finally:
            process.terminate()


def test_the_demonstration_answers_what_the_readme_tells_to_ask_and_leaves_nothing(tmp_path: Path) -> None:
    with demonstration(tmp_path) as (process, known):
        the_first, the_faulty = block('curl -s "$BASE_URL/v1/takeoffs?include'), block('curl -s "$BASE_URL/v1/takeoffs" ')
        (first,) = sent(the_first, **known)
        (other,) = sent(the_first.replace('"length_mm": 2800', '"length_mm": 2950'), **known)
        assert (first.status_code, other.status_code) == (201, 201)
        assert {"schedule", "cut_lists", "layouts"} <= first.json().keys()

        (faulty,) = sent(the_faulty, **known)
        assert faulty.status_code == 422
        pointers = {fault["pointer"].removeprefix("#/survey/rooms/0/walls") for fault in faulty.json()["errors"]}
        assert pointers >= {"/0/length_mm", "/1/length_mm"}

        wall = first.json()["layouts"]["layouts"][0]["wall_id"]
        known |= {"ID": first.json()["id"], "WALL": wall, "OTHER": other.json()["id"]}
        drawing, comparison, confirmed = sent(block('curl -s "$BASE_URL/v1/takeoffs/$ID/layouts'), **known)
        assert ElementTree.fromstring(drawing.content).tag == "{http://www.w3.org/2000/svg}svg"
        assert [c["member"] for wall in comparison.json()["walls"]["changed"] for c in wall["members"]] == ["length_mm"]
        assert (confirmed.status_code, confirmed.json()["takeoff_id"]) == (201, known["ID"])

        process.send_signal(signal.SIGTERM)
        assert process.wait(PATIENCE_SECONDS) == 0
        with socket.socket() as probe:
            assert probe.connect_ex(("127.0.0.1", int(known["BASE_URL"].rpartition(":")[2]))) != 0
    assert list(tmp_path.iterdir()) == []


def test_once_it_shows_what_to_order_what_to_cut_and_where_it_goes_and_ends(tmp_path: Path) -> None:
    command, environment = [sys.executable, "-m", "service", "demo", "--once"], {**OWN, "TMPDIR": str(tmp_path)}
    ended = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=False
    )
    assert (ended.returncode, ended.stderr) == (0, "")
    for heading in ("FINDINGS", "HEAT AND MOISTURE", "BEFORE THE WORK", "TO ORDER", "CUT LIST", "WALLS"):
        assert re.search(rf"^{heading}", ended.stdout, re.MULTILINE), heading
    assert "Invented" in ended.stdout and "export" not in ended.stdout
    assert list(tmp_path.iterdir()) == []


def test_a_service_of_ones_own_is_there_after_the_commands_to_run_it(tmp_path: Path) -> None:
    settings, *commands, serve = block("export SERVICE_DATA_DIR").splitlines()
    name, _, value = settings.removeprefix("export ").partition("#")[0].strip().partition("=")
    environment = {**OWN, name: str(tmp_path / value)}
    printed = []
    for command in commands:
        words = [sys.executable, *shlex.split(command.removeprefix(".venv/bin/python "))]
        printed.append(subprocess.run(words, cwd=ROOT, env=environment, capture_output=True, text=True, check=True).stdout)
    key = printed[-1].splitlines()[-1]
    command = [word.replace("8000", "{port}") for word in shlex.split(serve)[2:]]
    with serving("", command, **environment) as service:
        made = httpx.post(
            f"{service.url}/v1/projects", json={"name": "Invented house"}, headers={"Authorization": f"Bearer {key}"}
        )
        assert made.status_code == 201
    assert key not in "".join(path.read_bytes().decode("latin-1") for path in tmp_path.rglob("*.sqlite*")), "it is kept hashed"


@pytest.mark.parametrize(
    ("command", "said"),
    [
        ("key create --account Nobody --scopes read", "no account of this name"),
        ("key create --account Nobody --scopes read,everything", "everything"),
        ("account create ''", "#/name"),
        ("database check", "not what this version needs"),
        ("no-such-command", "no-such-command"),
    ],
)
def test_a_command_that_cannot_be_done_says_why_in_a_sentence(
    command: str, said: str, sqlite_url: str, empty_sqlite_url: str
) -> None:
    words = [sys.executable, "-m", "service", *shlex.split(command)]
    environment = {**OWN, "DATABASE_URL": empty_sqlite_url if command == "database check" else sqlite_url}
    ended = subprocess.run(words, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert ended.returncode != 0
    assert ended.stdout == ""
    assert said in ended.stderr
    assert "Traceback" not in ended.stderr
