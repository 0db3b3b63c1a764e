"""The command line. A command imports what it needs when it runs: planning loads no web and no database."""

import gc
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    help="The gig advance portal.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,  # a pretty trace prints local variables, and those hold secrets
)


@app.command()
def serve() -> None:
    """Start the portal on this machine."""
    gc.disable()  # loading makes no rubbish, and looking for it takes a fifth of the start; the portal goes on with it
    from portal.app import serve as start

    start()


@app.command()
def plan(
    rig: Annotated[Path, typer.Argument(help="The band's rig, a TOML or JSON file.")],
    answers: Annotated[Path, typer.Argument(help="The answers, a TOML or JSON file; - when nobody has answered yet.")],
    *,
    as_json: Annotated[bool, typer.Option("--json", help="Print the plan as JSON.")] = False,
    configuration: Annotated[str, typer.Option(help="A configuration of the rig, by its name.")] = "",
) -> None:
    """Plan a gig from two files, without a server."""
    from portal.exchange.command import run_plan

    raise typer.Exit(run_plan(rig, answers, as_json, configuration))


@app.command()
def compare(
    year: Annotated[Path, typer.Argument(help="The gigs and typical rooms of a year, a TOML or JSON file.")],
    rigs: Annotated[list[Path], typer.Argument(help="Today's rig, then up to four others, TOML or JSON files.")],
    *,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print a row for each rig and gig, for a spreadsheet.")] = False,
) -> None:
    """Say whether another rig would serve a year better, without a server."""
    from portal.compare.command import run_compare

    raise typer.Exit(run_compare(year, rigs, as_json=as_json, as_csv=as_csv))


@app.command()
def explain(
    rig: Annotated[Path, typer.Argument(help="The band's rig, a TOML or JSON file.")],
    answers: Annotated[Path, typer.Argument(help="The answers, a TOML or JSON file; - when nobody has answered yet.")],
    about: Annotated[str, typer.Argument(help="Number or label of a line, label of a source, or key of a rule.")],
    *,
    configuration: Annotated[str, typer.Option(help="A configuration of the rig, by its name.")] = "",
) -> None:
    """Say why a line, a source or a rule is as it is."""
    from portal.exchange.command import run_explain

    raise typer.Exit(run_explain(rig, answers, about, configuration))


@app.command("format")
def file_format(
    schema: Annotated[
        str, typer.Argument(help="rig, answers, plan or no-plan: print its JSON Schema; without, the list of all keys.")
    ] = "",
) -> None:
    """Say what a rig, answers or plan file may hold."""
    from portal.exchange.command import run_format

    raise typer.Exit(run_format(schema))


@app.command()
def demo(
    *,
    new_link: Annotated[bool, typer.Option("--new-link", help="Print another link for the house.")] = False,
    new_password: Annotated[
        bool, typer.Option("--new-password", help="Give the demo's band leader another password.")
    ] = False,
) -> None:
    """Get into the invented demo of this data folder again."""
    from portal import demo as invented
    from portal.settings import given

    settings = given()
    if new_link:
        invented.new_link(settings)
    if new_password:
        invented.new_password(settings)
    if not (new_link or new_password):
        typer.echo("Say --new-link or --new-password.")


@app.command()
def migrate() -> None:
    """Bring the database to the newest form; when that fails it stays what it was."""
    from portal.admin_commands import run_migrate
    from portal.settings import given

    raise typer.Exit(run_migrate(given()))


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(help="The file to write; it holds the server's key and must be kept safe.")],
) -> None:
    """Write database and server key to one file while the portal runs, and verify it."""
    from portal.admin_commands import run_backup
    from portal.settings import given

    raise typer.Exit(run_backup(given(), file))


@app.command()
def restore(file: Annotated[Path, typer.Argument(help="A file that backup wrote.")]) -> None:
    """Restore a backup into an empty data folder, and verify it."""
    from portal.admin_commands import run_restore
    from portal.settings import given

    raise typer.Exit(run_restore(given(), file))


@app.command()
def move(
    to: Annotated[str, typer.Argument(help="server: from the data folder to PORTAL_DATABASE_URL; file: the way back.")],
) -> None:
    """Move everything between the data folder and a database on a server, and verify it."""
    from portal.admin_commands import run_move
    from portal.settings import given

    raise typer.Exit(run_move(given(), to))


@app.command()
def verify() -> None:
    """Hash every plan, signature and paper again, and walk the chain of events."""
    from portal.admin_commands import run_verify
    from portal.settings import given

    raise typer.Exit(run_verify(given()))


@app.command()
def deploy_files(
    folder: Annotated[Path, typer.Argument(help="The folder to write to; files that are there already stay.")],
) -> None:
    """Write the service's unit, an example of a proxy, and the page on running the portal for others."""
    from portal.admin_commands import run_deploy_files

    raise typer.Exit(run_deploy_files(folder))


@app.command()
def forget(
    *,
    account: Annotated[
        str, typer.Option(help="The e-mail address of an account to erase, with everything that its owner wrote.")
    ] = "",
) -> None:
    """Erase what is past its time (PORTAL_KEEP_DAYS), or one account, for good."""
    from portal.admin_commands import run_forget
    from portal.settings import given

    raise typer.Exit(run_forget(given(), account))


if __name__ == "__main__":
    app(prog_name="python -m portal")
