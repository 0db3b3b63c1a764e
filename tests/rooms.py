"""Which tests answer for which room: ``python -m tests.rooms`` runs style, types and those tests for what was touched.

Touched is what differs from where this branch left ``main``, and what is not committed.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).parent.parent

LAWS = (
    "tests/test_layers.py",
    "tests/test_docs.py",
    "tests/test_no_clock.py",
    "tests/test_rooms.py",
    "tests/plan/test_words_steer_nothing.py",
)
"""What a change of any room can break, and what takes seconds."""

NOT_IN_A_HURRY = "not bench and not soak and not slow and not browser"

MANY = 3
"""Rooms from which on only the first tests of each are run: to touch more is to run ``make test`` soon."""

OF_THE_ENGINE = "tests/plan/test_cases.py tests/plan/test_rules.py tests/plan/test_regressions.py"

ROOMS: Mapping[str, str] = {
    "portal": "tests/web/test_start.py tests/exchange/test_command.py tests/test_installed.py"
    " tests/test_deploy_files.py tests/web/test_pictures.py",
    "portal/plan": f"{OF_THE_ENGINE} tests/plan/test_reasons.py tests/plan/test_true_here.py tests/plan/test_purity.py",
    "portal/plan/input": f"{OF_THE_ENGINE} tests/plan/test_coherence.py tests/plan/test_line_up.py"
    " tests/plan/test_one_microphone_said.py"
    " tests/plan/test_steers.py tests/plan/test_answer_kinds.py",
    "portal/plan/options": f"{OF_THE_ENGINE} tests/plan/test_options.py tests/plan/test_oracle.py"
    " tests/plan/test_digital_link.py tests/plan/test_left_at_home.py tests/plan/test_agrees_with_oracle.py"
    " tests/plan/test_groups_wished.py tests/plan/test_one_microphone.py",
    "portal/plan/solving": f"{OF_THE_ENGINE} tests/plan/test_unknowns.py tests/plan/test_asking_less.py"
    " tests/plan/test_short_ways.py tests/plan/test_loaded_program.py tests/plan/test_cut_list.py"
    " tests/plan/test_cut_sockets.py tests/plan/test_cut_places.py tests/plan/test_would_help.py"
    " tests/plan/test_input_scale.py",
    "portal/plan/own_mixer": f"{OF_THE_ENGINE} tests/plan/test_laws.py tests/plan/test_rules.py",
    "portal/plan/packing": f"{OF_THE_ENGINE} tests/plan/test_packing.py tests/plan/test_dead_rack.py"
    " tests/documents/test_pack_list.py",
    "portal/plan/result": f"{OF_THE_ENGINE} tests/plan/test_numbering.py tests/plan/test_figures.py"
    " tests/plan/test_signal.py tests/plan/test_stage.py tests/plan/test_netlists.py tests/plan/test_spelling.py",
    "portal/plan/signed": "tests/plan/test_canonical.py tests/exchange/test_plan_file.py tests/plan/test_cases.py"
    " tests/plan/test_stored_before.py",
    "portal/plan/rules": f"tests/plan/test_rules.py tests/plan/test_phantom.py {OF_THE_ENGINE}"
    " tests/plan/test_harmed.py tests/plan/test_true_here.py tests/plan/test_laws.py tests/plan/test_soak_fuzz.py"
    " tests/plan/test_seven_players.py",
    "portal/exchange": "tests/exchange/test_files.py tests/exchange/test_schema.py tests/exchange/test_plan_file.py"
    " tests/exchange/test_command.py tests/exchange/test_explain.py tests/exchange/test_sound_rig.py"
    " tests/exchange/test_rig_changes.py tests/exchange/test_key_list.py tests/exchange/test_import_bombs.py",
    "portal/exchange/band_list": "tests/exchange/test_reading.py tests/exchange/test_pasted.py"
    " tests/exchange/test_columns.py tests/exchange/test_layouts.py tests/exchange/test_own_lists.py"
    " tests/exchange/test_first_of_two.py tests/exchange/test_taking_over.py tests/exchange/test_reading_costs.py"
    " tests/web/test_rig_reading.py",
    "portal/exchange/house_spec": "tests/exchange/house_spec",
    "portal/exchange/spreadsheets": "tests/exchange/test_csv_rows.py tests/exchange/test_tables.py"
    " tests/exchange/test_spreadsheet.py tests/exchange/test_import_bombs.py tests/web/test_rig_import.py",
    "portal/compare": "tests/compare/test_year.py tests/compare/test_command.py tests/compare/test_laws.py"
    " tests/compare/test_kept_cells.py",
    "portal/wording": "tests/wording tests/plan/test_cases.py tests/plan/test_rules.py tests/web/test_reader.py"
    " tests/web/test_lengths.py"
    " tests/web/test_nonsense.py tests/web/test_house_languages.py tests/web/test_gig.py tests/web/test_moved_times.py",
    "portal/store": "tests/store tests/web/test_older_rules.py tests/web/test_keeping.py"
    " tests/web/test_disk.py tests/web/test_crashes.py tests/web/test_killed_between.py"
    " tests/web/test_killed_on_server.py"
    " tests/web/test_many_at_once.py",
    "portal/documents": "tests/documents/test_patch_sheet.py tests/documents/test_heading.py"
    " tests/documents/test_pack_list.py tests/documents/patch tests/documents/test_seven_players.py"
    " tests/documents/test_stage_plot.py tests/documents/test_labels.py tests/documents/test_house_said.py"
    " tests/documents/test_what_stays.py tests/documents/test_parity.py tests/documents/test_other_papers.py"
    " tests/web/test_left_right_journey.py",
    "portal/documents/rendering": "tests/documents/test_paper.py tests/documents/test_worker.py"
    " tests/web/test_papers.py tests/web/test_drafts.py",
    "portal/advance": "tests/web/test_planning.py tests/web/test_two_versions.py"
    " tests/web/test_in_the_making.py tests/web/test_gig.py"
    " tests/web/test_moved_times.py tests/web/test_calendar.py tests/web/test_next_time.py"
    " tests/web/test_left_out.py tests/web/test_signoff.py",
    "portal/advance/solver": "tests/web/test_solver_process.py tests/web/test_solves.py",
    "portal/jobs": "tests/web/test_jobs.py tests/web/test_planning.py tests/web/test_solver_process.py"
    " tests/web/test_two_processes.py tests/web/test_processes_under_load.py"
    " tests/web/test_walk_over_kills.py tests/web/test_processes_at_once.py tests/web/test_solves.py",
    "portal/web": "tests/web/test_pages.py tests/web/test_gates.py tests/web/test_screen.py tests/web/test_weight.py"
    " tests/web/test_statements.py tests/web/test_journeys.py",
    "portal/web/frame": "tests/web/test_kept.py tests/web/test_guard.py tests/web/test_forms.py tests/web/test_pages.py"
    " tests/web/test_links.py tests/web/test_health.py tests/web/test_live.py tests/web/test_access.py"
    " tests/web/test_every_answer.py"
    " tests/web/test_fuzzed_forms.py tests/web/test_security_log.py tests/web/test_solves.py tests/web/test_guessing.py"
    " tests/web/test_account.py tests/web/test_share.py",
    "portal/web/accounts": "tests/web/test_account.py tests/web/test_members.py tests/web/test_guessing.py"
    " tests/web/test_given.py tests/web/test_canaries.py",
    "portal/web/rig": "tests/web/test_rig_rows.py tests/web/test_rig.py tests/web/test_rig_row.py"
    " tests/web/test_rig_parts.py tests/web/test_rig_together.py tests/web/test_rig_import.py"
    " tests/web/test_rig_reading.py"
    " tests/web/test_rig_typing.py tests/web/test_rig_sheet.py tests/web/test_rig_columns.py tests/web/test_unsaved.py"
    " tests/web/test_narrow_pages.py",
    "portal/web/rig/editing": "tests/web/test_rig_rows.py tests/web/test_rig_row.py tests/web/test_rig_parts.py"
    " tests/web/test_rig_typing.py tests/web/test_rig_sheet.py tests/web/test_line_up.py",
    "portal/web/gig": "tests/web/test_gig.py tests/web/test_overview.py tests/web/test_line_up.py"
    " tests/web/test_share.py tests/web/test_history.py tests/web/test_changed_since.py"
    " tests/web/test_mixing_choice.py tests/web/test_newer_rig.py tests/web/test_day_times.py"
    " tests/web/test_next_time.py tests/web/test_afterwards.py tests/web/test_copied_gig.py",
    "portal/web/house": "tests/web/test_house.py tests/web/test_house_spec.py tests/web/test_house_sheet.py"
    " tests/web/test_house_screen.py tests/web/test_impossible.py tests/web/test_inquiries.py tests/web/test_share.py",
    "portal/web/mail": "tests/web/mail",
    "portal/web/questions": "tests/web/test_questions.py tests/web/test_left_out.py tests/web/test_seen.py",
    "portal/web/plan": "tests/web/test_plan.py tests/web/test_line.py tests/web/test_what_if.py"
    " tests/web/test_cable_rows.py"
    " tests/web/test_signoff.py tests/web/test_agreement.py tests/web/test_solves.py",
    "portal/web/discussion": "tests/web/test_talk.py tests/web/test_proposals.py tests/web/test_comments.py"
    " tests/web/test_talk_screen.py",
    "portal/web/documents": "tests/web/test_papers.py tests/web/test_signed_languages.py tests/web/test_drafts.py"
    " tests/web/test_paper_list.py"
    " tests/web/test_check.py tests/web/test_stage.py",
    "portal/web/compare": "tests/web/test_compare_rigs.py",
    "portal/web/day": "tests/web/test_crew.py tests/web/test_moved_times.py tests/web/test_crew_screen.py",
    "templates/print": "tests/documents/test_parity.py tests/documents/test_patch_sheet.py"
    " tests/documents/test_paper.py tests/documents/test_other_papers.py tests/documents/test_labels.py"
    " tests/documents/test_stage_plot.py",
    "static": "tests/web/test_pages.py tests/web/test_live.py",
    "migrations": "tests/store/test_migrations.py tests/store/test_stairway.py tests/store/test_copies.py",
    "tests/loadin": "tests/loadin",
    "tests/bench": "tests/bench",
}
"""Room -> its tests, the most telling first. The longest name that a path begins with is its room; a folder of
templates belongs to the room of the same name in ``portal/web``.
"""


def room_of(path: str) -> str:
    """The room of a file, empty where no table entry holds it."""
    family, _, rest = path.partition("/")
    if family == "templates" and "/" in rest and not path.startswith("templates/print/"):
        path = f"portal/web/{rest}"
    fitting = [room for room in ROOMS if path.startswith(room + "/")]
    return max(fitting, key=len, default="")


def chosen_for(paths: Iterable[str]) -> list[str]:
    """The test files and folders to run for changed files: those of their rooms, and each changed test itself."""
    paths = sorted(set(paths))
    rooms = dict.fromkeys(room for path in paths if (room := room_of(path)))
    chosen = [test for room in rooms for test in ROOMS[room].split()[: 1 if len(rooms) > MANY else None]]
    for path in paths:
        name = Path(path)
        if path.startswith("tests/") and name.name.startswith("test_"):
            chosen.append(path)
        elif path.startswith("tests/") and name.suffix == ".py" and not room_of(path):
            chosen += _readers(".".join(name.with_suffix("").parts))
    chosen += LAWS
    return [test for test in dict.fromkeys(chosen) if (ROOT / test).exists()]


def _readers(module: str) -> list[str]:
    """Some test files that import a module of the tests: the first by name."""
    found = [
        path.relative_to(ROOT).as_posix()
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
        if f"from {module} import" in path.read_text("utf-8")
    ]
    return found[:MANY]


def touched() -> list[str]:
    """Paths that differ from where the branch left ``main``, the work tree included."""
    known = _git("rev-parse", "--verify", "--quiet", "main") or _git("rev-parse", "--verify", "--quiet", "origin/main")
    base = _git("merge-base", "HEAD", known) if known else "HEAD"
    new = _git("ls-files", "--others", "--exclude-standard")
    return sorted({*_git("diff", "--name-only", "--no-renames", base).splitlines(), *new.splitlines()})


def _git(*words: str) -> str:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.strip() if done.returncode == 0 else ""


def main(arguments: Sequence[str] = ()) -> int:
    """Check what was touched; ``arguments`` go to pytest. Returns 0 where all is well."""
    begin = time.monotonic()
    paths = [path for path in touched() if (ROOT / path).is_file()]
    code = [path for path in paths if path.endswith(".py")]
    tests = chosen_for(touched())
    sys.stdout.write(f"{len(paths)} files touched; tests: {' '.join(tests)}\n")
    sys.stdout.flush()
    python = [sys.executable, "-m"]
    checks = [[*python, "ruff", "check", "--quiet", *code], [*python, "ruff", "format", "--check", "--quiet", *code]]
    faults = [subprocess.run(check, cwd=ROOT, check=False).returncode for check in checks if code]
    typed = subprocess.Popen([*python, "mypy", "--no-error-summary"], cwd=ROOT) if code else None
    run = [*python, "pytest", "-q", "-n", "2", "--dist", "loadfile", "-m", NOT_IN_A_HURRY, *arguments, *tests]
    faults.append(subprocess.run(run, cwd=ROOT, check=False).returncode)
    if typed:
        faults.append(typed.wait())
    sys.stdout.write(f"quick check: {time.monotonic() - begin:.0f} s\n")
    return int(any(faults))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
