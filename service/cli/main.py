"""The commands of `python -m service`. Answers go to stdout, logs to stderr."""

import sys
from datetime import UTC, datetime, timedelta
from typing import BinaryIO

import click
import orjson

from service.api.app import create_app
from service.api.document import openapi_document
from service.cli.demo import run_demo
from service.cli.server import serve as serve_http
from service.config import InvalidSettings, Settings
from service.contract.documents import differences
from service.contract.intended import unintended
from service.errors import Invalid, Refusal
from service.store import schema
from service.store.opening import open_database
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.usecases.find_account import find_account
from service.usecases.sweep_changes import sweep_changes
from service.vocabulary import KeyScope


def main() -> None:
    """Runs a command; a refusal ends with its sentence on stderr and status 1."""
    try:
        commands()
    except InvalidSettings as wrong:
        sys.exit(f"The settings are not usable: {wrong}")
    except Invalid as refusal:
        sys.exit("\n".join([refusal.detail, *(f"  {fault.pointer}: {fault.detail}" for fault in refusal.faults)]))
    except schema.SchemaDiffers as difference:
        sys.exit(f"The database is not what this version needs: {difference}")
    except Refusal as refusal:
        sys.exit(refusal.detail)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def commands() -> None:
    """Takes off internal wall linings: a survey in, layouts, a material schedule and cut lists out."""


@commands.command()
@click.option("--once", is_flag=True, help="End after showing the takeoff instead of serving on; for scripts.")
@click.option("--port", default=0, show_default="a free one", help="Port to serve on.")
def demo(once: bool, port: int) -> None:
    """Serve an invented project from a database of its own, ask for its takeoff over HTTP and show it."""
    sys.exit(run_demo(once=once, port=port))


@commands.command()
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", default=8000, show_default=True)
def serve(host: str, port: int) -> None:
    """Serve the API. The database must be up to date (`database upgrade`)."""
    serve_http(Settings.from_environment(), host, port)


@commands.group()
def database() -> None:
    """The database: its schema, and what it keeps too long."""


@database.command()
def upgrade() -> None:
    """Bring the schema up to date; safe to run from several places at once."""
    schema.upgrade(Settings.from_environment().database_url)
    click.echo(f"The database is at revision {schema.newest_revision()}.")


@database.command()
def check() -> None:
    """Say whether the schema is what this version needs; status 1 if not."""
    schema.check(Settings.from_environment().database_url)
    click.echo("The database is up to date.")


@database.command()
def sweep() -> None:
    """Take away what devices that work offline need no more: deletions and the like from before the days they are kept."""
    settings = Settings.from_environment()
    store, kept, gone = open_database(settings), timedelta(days=settings.deletions_kept_days), 0
    while swept := sweep_changes(store, kept):
        gone += swept
    click.echo(f"{gone} rows are gone.")


@commands.group()
def account() -> None:
    """Accounts: each sees only its own projects."""


@account.command("create")
@click.argument("name")
def create_account_named(name: str) -> None:
    """Make an account."""
    record = create_account(open_database(Settings.from_environment()), name)
    click.echo(f"Account {record.id} made.", err=True)
    click.echo(str(record.id))


@commands.group()
def key() -> None:
    """API keys."""


@key.command("create")
@click.option("--account", "account_name", required=True, help="The account's name.")
@click.option("--scopes", required=True, help="Any of read, write, takeoff, admin, with commas between.")
@click.option("--name", default="made on the command line", show_default=True)
@click.option("--days", type=click.IntRange(1, 3650), help="Days until it expires; without: never.")
def create_key_for(account_name: str, scopes: str, name: str, days: int | None) -> None:
    """Make a key. It is shown this once, alone on the last line."""
    words = [word.strip() for word in scopes.split(",") if word.strip()]
    unknown = [word for word in words if word not in set(KeyScope)]
    if unknown:
        raise click.BadParameter(f"not a scope: {', '.join(unknown)}; there are {', '.join(KeyScope)}", param_hint="--scopes")
    store = open_database(Settings.from_environment())
    holder = find_account(store, account_name)
    expires_at = datetime.now(UTC) + timedelta(days=days) if days else None
    record, secret = create_key(store, holder.id, [KeyScope(word) for word in words], name, expires_at)
    click.echo(f"Key {record.id} for account {account_name}. Keep it safe: it is not shown again.", err=True)
    click.echo(secret)


@commands.command()
@click.option("--against", type=click.File("rb"), help="Print how it differs from this document instead.")
@click.option("--intended", type=click.File("rb"), help="A list of changes that break callers and are meant to.")
def openapi(against: BinaryIO | None, intended: BinaryIO | None) -> None:
    """Print the OpenAPI document, or how it differs from another: status 1 if that breaks callers and is not listed."""
    settings = Settings.from_environment()
    document = openapi_document(create_app(settings, open_database(settings)))
    if against is None:
        sys.stdout.buffer.write(orjson.dumps(document, option=orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE))
        return
    changes = differences(orjson.loads(against.read()), document)
    for change in changes:
        click.echo(str(change))
    breaking = unintended(changes, [] if intended is None else orjson.loads(intended.read()))
    if breaking:
        sys.exit(f"{len(breaking)} of {len(changes)} changes break callers; openapi/POLICY.md says what their numbers mean.")
