"""The office file: read whole, every fault with its place, and its place in what is made with it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError, UnreadableFileError
from takeoff.model.basis import Status
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.pipeline import Stage, run, run_file, write_files
from takeoff.read.fingerprint import fingerprint
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.read.office.office_file import find_office, parse_office
from takeoff.review import verify_folder

TEMPLATE = Path(__file__).resolve().parents[2] / "templates" / "office.yaml"
JOB = "job: Hut\nroofs: [{outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], pitch_deg: 20}]\n"


def faults(text: str) -> list[str]:
    with pytest.raises(JobError) as caught:
        parse_office(text)
    return list(caught.value.faults)


def uncommented(text: str) -> str:
    """The template with every optional line taken up."""
    lines = [re.sub(r"^# ?", "", line) for line in text.splitlines()]
    return "\n".join(line for line in lines if not re.match(r"[A-Z]", line))


def test_the_template_is_sound_as_it_is_and_with_every_line_taken_up() -> None:
    text = TEMPLATE.read_text(encoding="utf-8")
    assert parse_office(text) == Office()
    office = parse_office(uncommented(text))
    assert set(Office.model_fields) == {name for name in Office.model_fields if getattr(office, name)}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("frim: {name: a}", "office.yaml:1:1: frim: unknown key; did you mean firm?"),
        ("firm:\n  name: a\n  fone: b", "office.yaml:3:3: firm.fone: unknown key; did you mean phone?"),
        ("suppliers: {purlin: {name: a}}", "suppliers.purlin: unknown delivery purlin; did you mean purlins?"),
        ("rates: {extra_percent: {roofs: 5}}", "rates.extra_percent.roofs: unknown delivery roofs"),
        ("rates: {tax_percent: 115}", "rates.tax_percent: must be at most 100"),
        ("rates: {date: yesterday}", "rates.date: needs a date as 2026-03-02"),
        ("rates: {prices: {purlin: cheap}}", "rates.prices.purlin: needs a number"),
        ("suppliers: {walls: {name: a, order_number: '{jobb}'}}", "unknown field {jobb}; did you mean job?"),
        ("suppliers: {walls: {name: a, order_number: '{job'}}", "a brace that is not closed"),
        ("settings: {raked_stepp_mm: 5}", "unknown setting; did you mean raked_step_mm?"),
        ("settings: {raked_step_mm: wide}", "settings.raked_step_mm: needs a number in mm"),
        ("truck: {payload_kg: 0, deck_mm: 5000}", "truck.payload_kg: must be more than 0"),
        ("[1, 2]", "an office file is a list of keys and values"),
        ("firm: {name: a", "not YAML here"),
    ],
)
def test_each_fault_has_its_place_and_its_word(text: str, said: str) -> None:
    assert any(said in fault for fault in faults(text)), faults(text)


def test_all_faults_of_a_level_are_told_at_once() -> None:
    assert len(faults("frim: 1\nterms: [1]\nrates: {currency: 5}")) == 3


def test_it_lies_beside_the_job_or_is_named(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    assert run_file(tmp_path, until=Stage.SHAPE).office is None
    bare = run_file(tmp_path, until=Stage.SHAPE).job_hash
    (tmp_path / "office.yaml").write_text("firm: {name: Kiln Road}", encoding="utf-8")
    beside = run_file(tmp_path, until=Stage.SHAPE)
    assert beside.office is not None
    assert beside.office.firm is not None
    assert beside.office.firm.name == "Kiln Road"
    assert beside.job_hash != bare
    other = tmp_path / "other.yaml"
    other.write_text("firm: {name: Quay Street}", encoding="utf-8")
    named = run_file(tmp_path, until=Stage.SHAPE, office=other).office
    assert named is not None
    assert named.firm is not None
    assert named.firm.name == "Quay Street"
    with pytest.raises(UnreadableFileError, match="there is no such file"):
        find_office(tmp_path, tmp_path / "none.yaml")


def test_an_order_is_no_longer_of_its_job_once_the_office_file_changed(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    (tmp_path / "office.yaml").write_text("terms: [thirty days]", encoding="utf-8")
    out = tmp_path / "order"
    write_files(run_file(tmp_path), out, only="flashings")
    assert not verify_folder(out, tmp_path).job_changed
    (tmp_path / "office.yaml").write_text("terms: [sixty days]", encoding="utf-8")
    assert verify_folder(out, tmp_path).job_changed
    assert "thirty days" in (out / "takeoff.json").read_text(encoding="utf-8")


def test_the_job_goes_before_the_office_and_the_basis_says_which() -> None:
    office = parse_office("settings: {raked_step_mm: 50, square_step_mm: 5}")
    settings = resolve_settings(Job(job="x", settings={"square_step_mm": 2}), office).values
    assert (settings["raked_step_mm"].value, settings["raked_step_mm"].basis.status) == (50, Status.SET_IN_OFFICE)
    assert (settings["square_step_mm"].value, settings["square_step_mm"].basis.status) == (2, Status.SET_IN_JOB)
    assert fingerprint(Job(job="x"), Path()) != fingerprint(Job(job="x"), Path(), office=office)


def test_a_setting_of_the_office_that_clashes_with_the_job_is_told_by_name() -> None:
    office = parse_office("settings: {long_run_most_mm: 9000}")
    with pytest.raises(JobError, match="long_run_most_mm of the office file 9000 mm"):
        parse_job(f"{JOB}settings: {{long_run_mm: 12000}}\n", office=office)


def test_letterheads_by_delivery_with_numbers_by_pattern_and_by_the_job() -> None:
    office = parse_office(
        "firm: {name: Kiln Road}\nterms: [thirty days]\n"
        "suppliers:\n  purlins: &a {name: Timber yard, order_number: '{revision}/{delivery}/{date}'}\n".replace(
            "&a ", ""
        )
        + "  underlay: {name: Timber yard, order_number: '{revision}/{delivery}/{date}'}\n"
        "  roof sheets: {name: Mill, terms: [cash]}\n"
        "deliver_to: {address: [the yard]}\n"
    )
    job = parse_job(
        f"{JOB}revision: B\ndate: 2026-03-02\n"
        "ordering: {wanted_by: {purlins: 2026-04-01}, order_numbers: {underlay: U7}}\n"
    )
    order = run(job, office=office).order
    assert order is not None
    heads = {head.delivery: head for head in order.letterheads}
    assert list(heads) == [delivery.name for delivery in order.deliveries]
    assert heads["purlins"].number == "B/purlins/2026-03-02"
    assert heads["underlay"].number == "U7"
    assert heads["roof sheets"].number == ""
    assert heads["purlins"].beside == heads["underlay"].beside == ("purlins", "underlay")
    assert heads["flashings"].beside == ("flashings",)
    assert (heads["roof sheets"].terms, heads["purlins"].terms) == (("cash",), ("thirty days",))
    assert str(heads["purlins"].wanted_by) == "2026-04-01"
    assert heads["walls" if "walls" in heads else "flashings"].supplier is None
    assert all(head.deliver_to is not None and head.deliver_to.address == ["the yard"] for head in heads.values())


def test_deliveries_of_the_job_that_do_not_exist_are_faults() -> None:
    with pytest.raises(JobError, match=r"job.yaml:3:\d+: ordering.wanted_by.purlin: unknown delivery purlin"):
        parse_job(f"{JOB}ordering: {{wanted_by: {{purlin: 2026-04-01}}}}\n")
